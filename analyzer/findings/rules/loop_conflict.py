"""Loop conflict: couplings in a ring contradict each other, so that nothing in it can turn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.knots import find_knots
from analyzer.findings.make import network_finding
from analyzer.findings.witness import witness_of

NAME: Final = "loop-conflict"


def find_loop_conflicts(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each biconnected block of a zone with an unbalanced loop.

    The witness is the block's shortest such loop; the count is of the block's parts. Couplings
    that were not read can only add loops, so a cut changes nothing.
    """
    for zone in case.disagreeing_by_zone.occupied():
        network = int(case.zone_network[zone])
        if not case.selected[network]:
            continue
        for knot in find_knots(case, zone):
            witness = witness_of(case, knot.loop)
            yield network_finding(
                case, NAME, level, network, witness.parts, count=len(knot.parts), witness=witness
            )
