"""The mutants that mutmut makes of the stages, and what became of each of them."""

from __future__ import annotations

import contextlib
import fnmatch
import io
import json
import random
import shutil
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

#: One line a trial: the last one of a mutant counts.
RESULTS = Path("mutation-results.jsonl")
MADE = Path("mutants")


def make_mutants(*, again: bool) -> None:
    """Copy the project and write the mutants of what pyproject.toml names into the copy.

    Those made before may stay, which saves a minute; the tests are copied anew all the same.
    """
    from mutmut.__main__ import create_mutants
    from mutmut.utils.file_utils import copy_also_copy_files, copy_src_dir

    with contextlib.redirect_stdout(io.StringIO()):
        if again:
            # mutmut keeps mutants of files that seem older, which those of a checkout may be.
            shutil.rmtree(MADE, ignore_errors=True)
            MADE.mkdir()
            copy_src_dir()
        copy_also_copy_files()
        if again:
            create_mutants(2)


def mutants_in(made: Path, patterns: Sequence[str]) -> dict[str, str]:
    """Return the hash of the function of each mutant whose name matches one of the patterns."""
    found = {}
    exact = set(patterns)
    loose = [one for one in patterns if any(letter in one for letter in "*?[")]
    for path in sorted(made.glob("analyzer/**/*.meta")):
        about = json.loads(path.read_text("utf-8"))
        for name in about["exit_code_by_key"]:
            if name in exact or any(fnmatch.fnmatchcase(name, one) for one in loose):
                function = function_of(name).rpartition(".")[2]
                found[name] = about["hash_by_function_name"][function]
    return found


def sampled(names: Iterable[str], sizes: Sequence[str], seed: str) -> list[str]:
    """Return the names, of some packages only so many: the same ones for the same seed.

    A size reads `findings=800`.
    """
    packages: dict[str, list[str]] = {}
    for name in sorted(names):
        packages.setdefault(name.split(".")[1], []).append(name)
    for size in sizes:
        package, _, count = size.partition("=")
        if int(count) < len(packages.get(package, ())):
            packages[package] = random.Random(seed).sample(packages[package], int(count))
    return sorted(name for every in packages.values() for name in every)


def function_of(mutant: str) -> str:
    """Return the name that mutmut gives the function that a mutant is one of."""
    return mutant.rpartition("__mutmut_")[0]


def results(path: Path, mutants: Mapping[str, str]) -> dict[str, dict[str, object]]:
    """Return the last result of each mutant of the functions as they stand now."""
    if not path.exists():
        return {}
    lines = map(json.loads, path.read_text("utf-8").splitlines())
    return {one["mutant"]: one for one in lines if one["hash"] == mutants.get(one["mutant"])}


def show_results(patterns: Sequence[str]) -> None:
    """Print how many mutants of each package were killed, and how the others differ."""
    from mutmut.mutation.diff_apply import get_diff_for_mutant

    done = results(RESULTS, mutants_in(MADE, patterns))
    counts: dict[str, Counter[object]] = {}
    for name, one in done.items():
        counts.setdefault(name.split(".")[1], Counter())[one["status"]] += 1
    for name in sorted(name for name, one in done.items() if one["status"] == "survived"):
        path = "/".join(name.split(".")[:-1]) + ".py"
        shown = get_diff_for_mutant(name, path=path).splitlines()[2:]
        print(name, *(line for line in shown if line[:1] in "+-@"), sep="\n")
    for package, count in sorted(counts.items()):
        killed = count["killed"] + count["timeout"]
        print(f"{package}: {count.total()} run, {killed / count.total():.1%} killed, {dict(count)}")
