"""What to set to come to another state of switches and movers, for people."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from analyzer.findings.findings import Throw
from analyzer.report.clean import shown
from analyzer.report.quantities import counted, place

#: Most places that one sentence names.
_MOST: Final = 6


def throws_text(throws: Sequence[Throw]) -> str:
    """Return what to set as a part of a sentence.

    >>> from analyzer.base.place import Block
    >>> throws_text([Throw(Block(3, 64, -20), "quayworks:dog_clutch", "lever", "in", "out")])
    'lever=in at 3 64 -20'
    """
    told = [f"{_setting(throw)} at {place(throw.at)}" for throw in throws[:_MOST]]
    if len(throws) > _MOST:
        told.append(counted(len(throws) - _MOST, "more setting"))
    return " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)


def throw_text(throw: Throw) -> str:
    """Return one setting with what it is set on and what it is now."""
    now = f"now {shown(throw.before)}"
    return f"{_setting(throw)} ({now}) on {shown(throw.block)} at {place(throw.at)}"


def _setting(throw: Throw) -> str:
    return f"{shown(throw.property)}={shown(throw.value)}"
