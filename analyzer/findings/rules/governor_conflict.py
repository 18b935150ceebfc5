"""Governor conflict: governors ask for speeds that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.clashes import clash_chain, follows, set_rpm
from analyzer.findings.findings import Finding, Witness
from analyzer.findings.make import network_finding
from analyzer.findings.witness import witness_of
from analyzer.solution.solution import Clash, Conflict

NAME: Final = "governor-conflict"


def find_governor_conflicts(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network whose governors contradict each other, or one itself.

    It shows the first of those contradictions and counts them. Measured is the speed at which the
    first governor would turn the second's port, the limit is what the second is set to; governors
    that follow a sense are compared by magnitude. What was not read can settle nothing, so a cut
    changes nothing.
    """
    clashes = [clash for clash in case.solution.clashes if clash.conflict is Conflict.GOVERNORS]
    for network, group in groupby(clashes, key=lambda clash: clash.network):
        if not case.selected[network]:
            continue
        first, *more = group
        chain = clash_chain(case, first)
        witness = None if chain is None else witness_of(case, chain)
        measured, limit = _speeds(case, first, witness)
        yield network_finding(
            case,
            NAME,
            level,
            network,
            [case.parts.block_at(part) for part in sorted({first.first, first.second})],
            count=1 + len(more),
            measured=measured,
            limit=limit,
            unit="" if measured is None else "rpm",
            witness=witness,
        )


def _speeds(
    case: Case, clash: Clash, witness: Witness | None
) -> tuple[Fraction | None, Fraction | None]:
    """Return what the first governor makes of the second's port, and what the second sets."""
    if witness is None or witness.kind == "loop":
        return None, None
    made, asked = set_rpm(case, clash.first) * witness.product, set_rpm(case, clash.second)
    if follows(case, clash.first) or follows(case, clash.second):
        made, asked = abs(made), abs(asked)
    return (None, None) if made == asked else (made, asked)
