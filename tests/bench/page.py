"""Write docs/performance.md from what was measured: ``python -m tests.bench.page [--check]``."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import Any

from tests.bench import goals
from tests.bench.run import RESULTS

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "performance.md"
NOTES = Path(__file__).with_name("notes.md")
HEAD = """\
# How fast it is

Made by `python -m tests.bench.page` from figures that `python -m tests.bench.run` measured: whole
processes, from start to exit, in turn with what they are compared with, the files already in the
system's memory. Ratios are those of the medians. An audit is, with other saves and catalogues,

    {audit}

"""


def page(results: dict[str, Any]) -> str:
    """Return the text of the page."""
    machine = results["machine"]
    libraries = ", ".join(f"{name} {value}" for name, value in machine["libraries"].items())
    parts = [
        HEAD.format(audit=results["audits"]["audit-60k"]["own"]["command"]),
        f"Python {machine['python']}, {machine['system']}, {machine['processors']} processors, "
        f"{machine['workers']} workers; {libraries}.\n",
    ]
    for title, rows in _tables(results):
        parts.append(f"\n## {title}\n\n| what | measured | asked for | |\n|---|---|---|---|\n")
        parts += [
            f"| {what} | {found} | {asked} | {_met(met)} |\n" for what, found, asked, met in rows
        ]
    parts.append("\n" + NOTES.read_text("utf-8"))
    return "".join(parts)


def _tables(results: dict[str, Any]) -> Iterator[tuple[str, list[tuple[str, str, str, bool]]]]:
    yield "An audit against inflating the save", list(_audits(results["audits"]))
    yield "The same listing by other libraries", list(_listings(results["listings"]))
    yield "A second audit of a million chunks", list(_again(results["again"]))
    yield "From the positions to the findings", list(_graph(results["graph"]))
    yield "Memory", list(_memory(results["memory"], results["graph"]))
    yield "Start-up", list(_start(results["start"]))


def _audits(found: dict[str, Any]) -> Iterator[tuple[str, str, str, bool]]:
    for goal in goals.AUDITS:
        own, base = (found[goal.name][side] for side in ("own", "base"))
        ratio = own["median"] / base["median"]
        runs = len(own["seconds"])
        told = f"**{ratio:.2f}** = {own['median']:.2f} s / {base['median']:.2f} s ({runs} runs)"
        if goal.plain:
            plain = found[goal.name]["plain"]["median"]
            told += f"; without the extra `compiled` {plain / base['median']:.2f}"
        yield goal.what, told, f"at most {goal.most}", ratio <= goal.most


def _listings(found: dict[str, Any]) -> Iterator[tuple[str, str, str, bool]]:
    for goal in goals.LISTINGS:
        one = found[goal.library]
        whole = one["base"]["median"] / one["share"]
        times = whole / one["own"]["median"]
        told = (
            f"**{times:.0f}** = {whole:.0f} s / {one['own']['median']:.2f} s, from "
            f"{goal.regions} regions that took {one['base']['median']:.1f} s"
        )
        yield (
            f"{goal.library}, times slower",
            told,
            f"at least {goal.least:.0f}",
            times >= goal.least,
        )


def _again(found: dict[str, Any]) -> Iterator[tuple[str, str, str, bool]]:
    first, second, touched = (found[name]["median"] for name in ("first", "second", "touched"))
    beyond = second - found["solve_seconds"]
    yield (
        "the second per the first", f"**{second / first:.3f}** = {second:.2f} s / {first:.2f} s",
        f"at most {goals.SECOND_MOST}", second / first <= goals.SECOND_MOST,
    )  # fmt: skip
    yield (
        "the second beyond the solving", f"**{beyond:.2f} s**",
        f"at most {goals.SECOND_SECONDS} s", beyond <= goals.SECOND_SECONDS,
    )  # fmt: skip
    yield (
        "one region in a hundred touched",
        f"**{touched / first:.3f}** = {touched:.2f} s / {first:.2f} s",
        f"at most {goals.TOUCHED_MOST}", touched / first <= goals.TOUCHED_MOST,
    )  # fmt: skip


def _graph(found: dict[str, Any]) -> Iterator[tuple[str, str, str, bool]]:
    for shape, one in found.items():
        own = median(run["seconds"] for run in one["runs"])
        base = median(run["networkx_seconds"] for run in one["runs"])
        told = f"**{one['ratio']:.2f}** = {own:.2f} s / {base:.2f} s"
        most = goals.GRAPH_MOST
        yield (
            f"{shape} of a million parts, per networkx",
            told,
            f"at most {most}",
            one["ratio"] <= most,
        )
    for shape, one in found.items():
        yield (
            f"{shape}: exponent, 100,000 to 4,000,000 parts", f"**{one['exponent']:.2f}**",
            f"at most {goals.EXPONENT_MOST}", one["exponent"] <= goals.EXPONENT_MOST,
        )  # fmt: skip


def _memory(found: dict[str, Any], graph: dict[str, Any]) -> Iterator[tuple[str, str, str, bool]]:
    for save, peak in found["saves"].items():
        over = peak - found["libraries"]
        yield (
            f"{save}: largest process over the interpreter with its libraries",
            f"**{over:.0f} MiB**",
            f"at most {goals.SCANNING_MIB} MiB", over <= goals.SCANNING_MIB,
        )  # fmt: skip
    for shape, one in graph.items():
        size = median(run["bytes_per_part"] for run in one["runs"])
        yield (
            f"{shape}: bytes a part while solving", f"**{size:.0f}**",
            f"at most {goals.SOLVING_BYTES}", size <= goals.SOLVING_BYTES,
        )  # fmt: skip


def _start(found: dict[str, Any]) -> Iterator[tuple[str, str, str, bool]]:
    bare = found["bare"]["median"]
    for name in ("version", "help"):
        over = found[name]["median"] - bare
        yield (
            f"`lineshaft --{name}` over a bare interpreter ({bare:.3f} s)", f"**{over:.3f} s**",
            f"at most {goals.START_SECONDS} s", over <= goals.START_SECONDS,
        )  # fmt: skip


def _met(met: bool) -> str:
    return "met" if met else "**not met**"


def main(arguments: list[str]) -> int:
    """Write the page, or compare it."""
    text = page(json.loads(RESULTS.read_text("utf-8")))
    if "--check" in arguments:
        return 0 if PAGE.read_text("utf-8") == text else 1
    PAGE.write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
