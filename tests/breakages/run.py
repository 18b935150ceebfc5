"""Break every rule of motion, one at a time, and see that a check against the outside notices.

Run ``python -m tests.breakages.run`` from the folder of the project; ``--only TEXT`` takes rules
that hold that text, ``--jobs N`` runs so many at a time. Each is broken in a copy of its own.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from fnmatch import fnmatch
from pathlib import Path

from tests.breakages.table import BREAKAGES, Breakage

ROOT = Path(__file__).parents[2]
COPIED = ("analyzer", "tests", "docs", "pyproject.toml", "README.md", "DEVELOPERS.md")
#: Hold the page, the reading of files or documents, and not the motion: left out to save time.
LEFT_OUT = ("validation", "real_*", "block_state_judges", "walker_judges", "schema_judge")
#: Run first, since they are quick and notice much.
FIRST = (
    "frames",
    "movers",
    "switches",
    "speed_governors",
    "limits",
    "placements",
    "contact",
    "chains",
    "balance",
    "belts",
    "power",
)
#: Longest that the checks may take with a rule broken, in seconds.
PATIENCE_S = 600


def broken_copy(folder: Path, breakage: Breakage | None) -> Path:
    """Copy the project into a folder, with a rule broken.

    Raises
    ------
    ValueError
        Where the text to replace does not stand there exactly once.
    """
    ignore = shutil.ignore_patterns("__pycache__", ".*_cache", ".hypothesis")
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=ignore)
        else:
            shutil.copy(ROOT / name, folder / name)
    if breakage is not None:
        path = folder / breakage.path
        path.write_text(broken_text(breakage, path.read_text("utf-8")), "utf-8")
    return folder


def broken_text(breakage: Breakage, text: str) -> str:
    """Return the text of a file with the rule broken.

    Raises
    ------
    ValueError
        Where the text to replace does not stand there exactly once.
    """
    if text.count(breakage.old) != 1:
        raise ValueError(f"{breakage.path} holds {breakage.old!r} {text.count(breakage.old)} times")
    return text.replace(breakage.old, breakage.new)


def outside_tests(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the checks against the outside in a copy, up to the first that fails."""
    names = [path.stem[len("test_") :] for path in (folder / "tests/outside").glob("test_*.py")]
    rest = {name for name in names if not any(fnmatch(name, pattern) for pattern in LEFT_OUT)}
    tests = [f"tests/outside/test_{name}.py" for name in (*FIRST, *sorted(rest - set(FIRST)))]
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-x",
            "-q",
            "-p",
            "no:cacheprovider",
            *tests,
        ],
        cwd=folder,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )


def noticed_by(breakage: Breakage) -> str | None:
    """Return the first check that fails with the rule broken; None where none does.

    Raises
    ------
    RuntimeError
        Where the checks cannot be run at all.
    """
    with tempfile.TemporaryDirectory() as name:
        done = outside_tests(broken_copy(Path(name), breakage))
    failed = re.search(r"^FAILED (\S+)", done.stdout, re.MULTILINE)
    if failed is not None:
        return failed[1]
    if done.returncode == 0:
        return None
    raise RuntimeError(f"{breakage.rule}:\n{done.stdout[-3000:]}{done.stderr[-1000:]}")


def main(arguments: Sequence[str]) -> int:
    """Break every rule; return 1 where a breakage goes unnoticed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", metavar="TEXT")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, metavar="N")
    chosen = parser.parse_args(arguments)
    breakages = [one for one in BREAKAGES if chosen.only in one.rule]
    with ThreadPoolExecutor(chosen.jobs) as pool:
        missed = 0
        for breakage, test in zip(breakages, pool.map(noticed_by, breakages), strict=True):
            missed += test is None
            print(
                f"{'NOT NOTICED' if test is None else 'noticed'}: {breakage.rule} ({test})",
                flush=True,
            )
    print(f"{len(breakages)} rules broken, {missed} not noticed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
