"""What a test of the main job is held against, written beside the test.

A `Check` is one row of docs/validation.md, which is made from the tests that carry it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import pytest


class Evidence(StrEnum):
    """How the value on the other side is known."""

    PUBLISHED = "published"
    LIBRARY = "reference library"
    DATA = "real data"
    COMMON = "common practice, no source"
    MEMORY = "from memory, not confirmed"
    COMPUTED = "computed, not published"
    PROPERTY = "property, no value from outside"


@dataclass(frozen=True, order=True)
class Source:
    """Where a value comes from.

    Parameters
    ----------
    evidence
        How it is known. Published: seen in the source or in an excerpt of it.
    title
        Author, title, year or section; of a library, its name and the function used.
    address
        Where it can be looked up; empty where there is no such place.
    """

    evidence: Evidence
    title: str
    address: str = ""


@dataclass(frozen=True, order=True)
class Check:
    """One thing that is checked.

    Parameters
    ----------
    subject
        Heading of the page that the row stands under.
    key
        Short and unique; with the number of the reference value where there is one.
    what
        What is checked, in a few words, with the given values.
    expected
        The value or the agreement asked for.
    source
        What it is held against.
    tolerance
        How far the two may lie apart.
    why
        Why that tolerance; why a difference is right, where there is one.
    result
        What the check shows, where "agrees" is not the whole of it.
    """

    subject: str
    key: str
    what: str
    expected: str
    source: Source
    tolerance: str = "none"
    why: str = "exact numbers on both sides"
    result: str = "agrees"


def checked(*checks: Check) -> pytest.MarkDecorator:
    """Mark a test, or one case of it, with what it checks."""
    return pytest.mark.checked(*checks)
