"""Write docs/validation.md from the tests that say what they are held against.

Run ``python -m tests.outside.make_validation`` from the project's folder; with ``--check`` it
writes nothing and says whether the page is what it should be.
"""

from __future__ import annotations

import contextlib
import io
import sys
from collections import defaultdict
from collections.abc import Iterable, Mapping
from itertools import groupby
from pathlib import Path

import pytest

from tests.outside.unchecked import UNCHECKED
from tests.support.check import Check, Evidence

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "validation.md"
#: Folders whose every test says what it is held against.
FOLDERS = ("tests/outside", "tests/properties")
HEAD = """\
# Checked against the outside world

What the main job's computations are held against, and how. Made from the tests by
`python -m tests.outside.make_validation` and compared with them whenever they run, so a row stands
here only while its tests pass. *Published* means that the value was seen in the source or in an
excerpt of it; a value *from memory* or *computed* is not called published. Quantities of the tool
are exact rational numbers, so most rows allow no tolerance at all.

"""
EVIDENCE_HEAD = "| evidence | checks |\n|---|---|\n"
TABLE_HEAD = (
    "| check | what | expected | held against | evidence | tolerance | result | tests |\n"
    "|---|---|---|---|---|---|---|---|\n"
)


class Collected:
    """A plugin that notes which test carries which checks."""

    def __init__(self) -> None:
        self.tests: dict[Check, set[str]] = defaultdict(set)
        self.unmarked: list[str] = []

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        for item in items:
            test = item.nodeid.partition("[")[0]
            checks = [check for mark in item.iter_markers("checked") for check in mark.args]
            for check in checks:
                self.tests[check].add(test)
            if not checks:
                self.unmarked.append(test)


def collect(folders: Iterable[str] = FOLDERS) -> Collected:
    """Collect the tests of some folders without running them.

    Raises
    ------
    RuntimeError
        Where a test cannot be collected.
    """
    collected = Collected()
    arguments = ["--collect-only", "-q", "-p", "no:cacheprovider", f"--rootdir={ROOT}"]
    paths = [str(ROOT / folder) for folder in folders if (ROOT / folder).is_dir()]
    with contextlib.redirect_stdout(io.StringIO()) as said:
        status = pytest.main([*arguments, *paths], plugins=[collected])
    if status != pytest.ExitCode.OK:
        raise RuntimeError(f"the tests cannot be collected:\n{said.getvalue()}")
    return collected


def page(tests: Mapping[Check, set[str]]) -> str:
    """Return the text of the page."""
    parts = [HEAD, EVIDENCE_HEAD]
    for evidence in Evidence:
        number = sum(check.source.evidence is evidence for check in tests)
        parts.append(f"| {evidence} | {number} |\n")
    in_order = sorted(tests, key=lambda check: (check.subject, _natural(check.key)))
    for subject, checks in groupby(in_order, key=lambda check: check.subject):
        parts.append(f"\n## {subject}\n\n{TABLE_HEAD}")
        parts += [_row(check, sorted(tests[check])) for check in checks]
    parts.append("\n## Not checked against anything outside\n\n")
    parts += [f"- {line}\n" for line in UNCHECKED]
    return "".join(parts)


def _row(check: Check, tests: list[str]) -> str:
    source = check.source
    against = f"{source.title}: {source.address}" if source.address else source.title
    tolerance = f"{check.tolerance}: {check.why}" if check.why else check.tolerance
    cells = (
        check.key,
        check.what,
        check.expected,
        against,
        str(source.evidence),
        tolerance,
        check.result,
        "; ".join(_short(test) for test in tests),
    )
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |\n"


def _short(test: str) -> str:
    path, _, name = test.partition("::")
    return f"`{path.removeprefix('tests/').removesuffix('.py')}`: {_words(name)}"


def _words(name: str) -> str:
    return name.rpartition("::")[2].removeprefix("test_").replace("_", " ")


def _natural(key: str) -> tuple[str, int, str]:
    letters = key.rstrip("0123456789")
    digits = key[len(letters) :]
    return letters, int(digits or 0), key


def main(arguments: list[str]) -> int:
    """Write the page, or compare it."""
    text = page(collect().tests)
    if "--check" in arguments:
        same = PAGE.is_file() and PAGE.read_text(encoding="utf-8") == text
        print("docs/validation.md is up to date" if same else "docs/validation.md is stale")
        return 0 if same else 1
    PAGE.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
