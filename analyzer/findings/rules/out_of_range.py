"""Out of range: the speeds of a zone spread too far to be written."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import network_finding
from analyzer.solution.solution import Motion
from analyzer.solution.speeds import MAX_SPREAD_BITS

NAME: Final = "out-of-range"
#: The spread is counted in doublings from the slowest part's speed to the fastest's.
UNIT: Final = "doublings"


def find_out_of_range(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each driven zone out of range, at its fastest and its slowest part.

    The spread is rounded up to whole doublings. More parts cannot narrow it, so a cut changes
    nothing.
    """
    bits = case.networks.potentials.log2()
    for zone in np.flatnonzero(case.solution.motion == Motion.OUT_OF_RANGE).tolist():
        network = int(case.zone_network[zone])
        if not case.selected[network]:
            continue
        members = case.networks.members(network)
        members = members[case.networks.zone[members] == zone]
        speed = bits[case.networks.potential[members]]
        fastest, slowest = int(np.argmax(speed)), int(np.argmin(speed))
        spread = math.ceil(float(speed[fastest] - speed[slowest]) - 1e-6)
        yield network_finding(
            case,
            NAME,
            level,
            network,
            [case.parts.block_at(int(members[end])) for end in (fastest, slowest)],
            count=len(members),
            measured=Fraction(max(spread, MAX_SPREAD_BITS + 1)),
            limit=Fraction(MAX_SPREAD_BITS),
            unit=UNIT,
        )
