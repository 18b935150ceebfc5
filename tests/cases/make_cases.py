"""Make the case folders in ``fixtures/`` anew: ``python -m tests.cases.make_cases``."""

from __future__ import annotations

import shutil
from pathlib import Path

from tests.cases import (
    absences,
    budgets,
    gears,
    governors,
    levers,
    links,
    margins,
    places,
    records,
    sizes,
)
from tests.cases.case import Case, write_case

FIXTURES = Path(__file__).parents[2] / "fixtures"


def all_cases() -> list[Case]:
    """Return every case, by name."""
    subjects = (absences, budgets, gears, governors, levers, links, margins, places, records, sizes)
    cases = [case for subject in subjects for case in subject.cases()]
    return sorted(cases, key=lambda case: case.name)


def make_cases(fixtures: Path) -> None:
    """Write every case folder into a folder."""
    for case in all_cases():
        write_case(case, fixtures)


if __name__ == "__main__":
    for old in FIXTURES.glob("*/case.toml"):
        shutil.rmtree(old.parent)
    make_cases(FIXTURES)
