"""The table of rules: what can be found, and how grave it is unless the user says otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final, TypeAlias

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.rules import (
    loop_conflict,
    mover_conflict,
    no_catalogue,
    nothing_known,
    out_of_range,
    over_speed,
    overload,
    unread_chunks,
)

#: A rule: given a case and the level of its findings, it yields them.
Find: TypeAlias = Callable[[Case, Level], Iterator[Finding]]


@dataclass(frozen=True)
class Rule:
    """One rule: its name, the level of its findings by default, and what finds them."""

    name: str
    level: Level
    find: Find


#: Every rule, by name.
RULES: Final = (
    Rule(loop_conflict.NAME, Level.ERROR, loop_conflict.find_loop_conflicts),
    Rule(mover_conflict.NAME, Level.ERROR, mover_conflict.find_mover_conflicts),
    Rule(no_catalogue.NAME, Level.WARNING, no_catalogue.find_no_catalogue),
    Rule(nothing_known.NAME, Level.WARNING, nothing_known.find_nothing_known),
    Rule(out_of_range.NAME, Level.ERROR, out_of_range.find_out_of_range),
    Rule(over_speed.NAME, Level.ERROR, over_speed.find_over_speeds),
    Rule(overload.NAME, Level.ERROR, overload.find_overloads),
    Rule(unread_chunks.NAME, Level.WARNING, unread_chunks.find_unread_chunks),
)
