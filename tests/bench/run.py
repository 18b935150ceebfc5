"""Measure, and keep what was measured.

``python -m tests.bench.run --folder DIR [--workers N] [--only GROUP ...]`` from the project's
folder builds the big saves in DIR (some 12 GB) where they are not there yet, measures, and writes
tests/bench/results.json; groups are audits, listings, again, graph, memory and start. The page is
then made by ``python -m tests.bench.page``.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import platform
import shutil
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from statistics import median
from typing import Any

from tests.bench import goals
from tests.bench.measure import in_turn, output_of
from tests.bench.shapes import SHAPES
from tests.bench.worlds import build

RESULTS = Path(__file__).with_name("results.json")
LIBRARIES = (
    "numpy", "scipy", "networkx", "deflate", "numba", "amulet-nbt", "nbtlib", "anvil-parser2",
)  # fmt: skip


@dataclass(frozen=True)
class Place:
    """Where the big saves lie, and how many workers read them."""

    folder: Path
    workers: int

    def save(self, name: str) -> str:
        """Return the folder of a save, built if need be."""
        return str(build(goals.SAVES[name], self.folder / name))

    def audit(self, save: str, *options: str) -> tuple[str, ...]:
        """Return the command of an audit."""
        return (
            "lineshaft", "audit", save, "--jobs", str(self.workers),
            "--format", "json", "--output", os.devnull, *options,
        )  # fmt: skip


def audits(place: Place) -> dict[str, Any]:
    """Audit whole saves, in turn with inflating them."""
    # Once for a version and a processor; a scan that is worth it would do it by itself.
    output_of(("python", "-m", "analyzer.save.compiled.build"))
    found = {}
    for goal in goals.AUDITS:
        save = place.save(goal.save)
        audit = place.audit(save, *goal.catalogues, "--no-cache")
        inflate = ("python", "-m", "tests.bench.inflate", save, str(place.workers))
        plain = [("python", "-m", "tests.bench.plain", *audit[1:])] if goal.plain else []
        timings = in_turn(audit, inflate, *plain, runs=goal.runs)
        names = ("own", "base", "plain")[: len(timings)]
        found[goal.name] = {name: one.as_json() for name, one in zip(names, timings, strict=True)}
    return found


def listings(place: Place) -> dict[str, Any]:
    """List block entities with other libraries, in turn with an audit of the whole save."""
    save = place.save("early-60k-parts")
    regions = len(goals.SAVES["early-60k-parts"].regions)
    found = {}
    for goal in goals.LISTINGS:
        command = ("python", "-m", "tests.bench.listing", goal.library, save, str(place.workers))
        audit = place.audit(save, *goals.ENTITIES, "--no-cache")
        own, base = in_turn(audit, (*command, str(goal.regions)), runs=1)
        found[goal.library] = {
            "own": own.as_json(),
            "base": base.as_json(),
            "share": goal.regions / regions,
        }
    return found


def again(place: Place) -> dict[str, Any]:
    """Audit a save of a million chunks twice, and once more with some regions touched."""
    save = place.save("early-1m-parts")
    cache = place.folder / "cache"
    shutil.rmtree(cache, ignore_errors=True)
    audit = place.audit(save, *goals.ENTITIES, "--cache", str(cache))
    # The system may keep the files in memory: once for all runs alike.
    in_turn(place.audit(save, *goals.ENTITIES, "--no-cache"), runs=1, warm=False)
    (first,) = in_turn(audit, runs=1, warm=False)
    (second,) = in_turn(audit, runs=3, warm=False)
    for path in sorted(Path(save).glob("region/*.mca"))[::100]:
        # The same bytes, written anew.
        path.write_bytes(path.read_bytes())
    (touched,) = in_turn(audit, runs=1, warm=False)
    solve = json.loads(
        output_of(("python", "-m", "tests.bench.graph", "halls", "200000", "--alone"))
    )
    return {
        "first": first.as_json(),
        "second": second.as_json(),
        "touched": touched.as_json(),
        "solve_seconds": solve["seconds"],
    }


def graph(_: Place) -> dict[str, Any]:
    """Solve big mechanisms, each in a process of its own, and fit the exponent."""
    found: dict[str, Any] = {}
    for shape in SHAPES:
        command = ("python", "-m", "tests.bench.graph", shape)
        runs = [json.loads(output_of((*command, str(goals.GRAPH_PARTS)))) for _ in range(3)]
        sizes = [
            json.loads(output_of((*command, str(size), "--alone"))) for size in goals.GRAPH_SIZES
        ]
        found[shape] = {
            "runs": runs,
            "ratio": median(run["seconds"] / run["networkx_seconds"] for run in runs),
            "sizes": sizes,
            "exponent": _exponent([(run["parts"], run["seconds"]) for run in sizes]),
        }
    return found


def memory(place: Place) -> dict[str, Any]:
    """Find how much an audit holds, against the interpreter with its libraries."""
    libraries = ("python", "-c", "import analyzer.pipeline.audit, scipy.sparse.csgraph, networkx")
    saves = [name for name in goals.SAVES if "last" not in name]
    timings = in_turn(
        libraries,
        *(place.audit(place.save(name), *goals.ENTITIES, "--no-cache") for name in saves),
        runs=1,
        warm=False,
    )
    return {
        "libraries": timings[0].peak_mib,
        "saves": dict(zip(saves, (one.peak_mib for one in timings[1:]), strict=True)),
    }


def start(_: Place) -> dict[str, Any]:
    """Start and say little."""
    names = ("bare", "version", "help")
    timings = in_turn(
        ("python", "-c", "pass"), ("lineshaft", "--version"), ("lineshaft", "--help"), runs=21
    )
    return {name: one.as_json() for name, one in zip(names, timings, strict=True)}


GROUPS: dict[str, Callable[[Place], dict[str, Any]]] = {
    "audits": audits,
    "listings": listings,
    "again": again,
    "graph": graph,
    "memory": memory,
    "start": start,
}


def _exponent(points: Sequence[tuple[int, float]]) -> float:
    """Fit seconds = c · parts^e through logarithms; return e."""
    logs = [(math.log(parts), math.log(seconds)) for parts, seconds in points]
    x, y = (sum(column) / len(logs) for column in zip(*logs, strict=True))
    return sum((a - x) * (b - y) for a, b in logs) / sum((a - x) ** 2 for a, _ in logs)


def machine() -> dict[str, Any]:
    """Say on what it was measured."""
    return {
        "python": platform.python_version(),
        "system": f"{platform.system()} {platform.machine()}",
        "processors": os.cpu_count(),
        "libraries": {name: version(name) for name in LIBRARIES},
    }


def main(arguments: Sequence[str]) -> None:
    """Measure some groups, and keep the others as they are."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", type=Path, required=True)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--only", nargs="*", choices=GROUPS, default=list(GROUPS))
    chosen = parser.parse_args(arguments)
    place = Place(chosen.folder, chosen.workers)
    results = json.loads(RESULTS.read_text("utf-8")) if RESULTS.exists() else {}
    results["machine"] = {**machine(), "workers": place.workers}
    for name in chosen.only:
        results[name] = GROUPS[name](place)
        text = json.dumps(results, indent=1, sort_keys=True) + "\n"
        # Where the saves lie on this machine is nobody's business.
        RESULTS.write_text(text.replace(str(place.folder), "bench-saves"), "utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
