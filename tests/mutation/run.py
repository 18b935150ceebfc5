"""Run mutants of the stages through the tests, and write down which survive (docs/mutation.md).

mutmut makes the mutants and lets one of them act at a time. Its own runner collects the tests anew
for each mutant, which takes longer than the tests; this one collects them once, and for each mutant
runs those that reach the mutated function in a process of its own until one fails: those that
killed a mutant of that function before come first, then the files of tests that take least.

    python -m tests.mutation.run --mutants 'analyzer.parts.*' -- tests/parts tests/judge
    python -m tests.mutation.run --survivors -- tests/grown
    python -m tests.mutation.run --show
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def main() -> int:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.mutation.run", description=__doc__, fromfile_prefix_chars="@"
    )
    parser.add_argument("--mutants", nargs="+", default=["*"], help="patterns of names of mutants")
    parser.add_argument("tests", nargs="*", help="what is given to pytest, after --")
    parser.add_argument(
        "--sample", nargs="+", default=[], help="package=count: so many of its mutants, at random"
    )
    parser.add_argument("--seconds", type=float, default=1e9, help="of tests that a mutant gets")
    parser.add_argument("--seed", default="lineshaft", help="seed of the sample")
    parser.add_argument("--survivors", action="store_true", help="run those that survived so far")
    parser.add_argument("--again", action="store_true", help="run those that have a result too")
    parser.add_argument("--made", action="store_true", help="take the mutants that were made last")
    parser.add_argument("--jobs", type=int, default=2, help="mutants at a time")
    parser.add_argument("--looked", type=Path, help="file to keep in which tests reach what")
    parser.add_argument("--show", action="store_true", help="count results, show survivors")
    asked = parser.parse_args()
    os.chdir(ROOT)
    # Imported here, since mutmut reads its settings from the folder it is imported in.
    from tests.mutation.mutants import make_mutants, show_results

    if asked.show:
        show_results(asked.mutants)
        return 0
    make_mutants(again=not asked.made)
    os.chdir(ROOT / "mutants")
    # The copies with the mutants are what is imported from here on.
    sys.path[:] = [
        str(ROOT / "mutants"),
        *(p for p in sys.path if Path(p or ROOT).resolve() != ROOT),
    ]
    for name in [n for n in sys.modules if n.split(".")[0] in ("tests", "analyzer")]:
        del sys.modules[name]
    from tests.mutation.trials import run_mutants

    return run_mutants(asked)


if __name__ == "__main__":
    sys.exit(main())
