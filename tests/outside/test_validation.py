"""docs/validation.md is what the tests say, and says no more than they can."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter

import pytest

from tests.outside.make_validation import FOLDERS, PAGE, ROOT, Collected
from tests.support.check import Evidence

#: Tests of this folder that hold the page or the tests themselves against something.
OWN = "tests/outside/test_validation.py"


@pytest.fixture(scope="module")
def gathered(request: pytest.FixtureRequest) -> Collected:
    """The tests of this very run."""
    collected = Collected()
    here = [item for item in request.session.items if item.nodeid.startswith(FOLDERS)]
    collected.pytest_collection_modifyitems(here)
    return collected


def test_every_outside_test_says_what_it_is_held_against(gathered: Collected) -> None:
    assert sorted({test for test in gathered.unmarked if not test.startswith(OWN)}) == []


def test_no_two_checks_share_a_key(gathered: Collected) -> None:
    keys = Counter(check.key for check in gathered.tests)
    assert [key for key, number in keys.items() if number > 1] == []


def test_what_is_published_can_be_looked_up(gathered: Collected) -> None:
    published = [check for check in gathered.tests if check.source.evidence is Evidence.PUBLISHED]
    assert [check.key for check in published if not check.source.address] == []


def test_a_tolerance_has_a_reason(gathered: Collected) -> None:
    assert [check.key for check in gathered.tests if not (check.tolerance and check.why)] == []


def test_the_page_is_made_from_the_tests() -> None:
    """In a process of its own, since a run of some tests alone collects too few."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.outside.make_validation", "--check"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, f"{done.stdout}{done.stderr}\nrun the module without --check"
    assert PAGE.is_file()
