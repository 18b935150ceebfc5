"""All targets of the fuzzers."""

from __future__ import annotations

from typing import Final

from tests.fuzz import reading, scanning, texts
from tests.fuzz.target import Target

TARGETS: Final[tuple[Target, ...]] = (*reading.TARGETS, *scanning.TARGETS, *texts.TARGETS)


def target_of(name: str) -> Target:
    """Return the target of a name."""
    return next(target for target in TARGETS if target.name == name)
