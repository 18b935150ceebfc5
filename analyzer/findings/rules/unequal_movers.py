"""Unequal movers: movers are dragged along at another speed than they are rated for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding
from analyzer.solution.solution import State

NAME: Final = "unequal-movers"


def find_unequal_movers(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each turning network whose movers turn faster or slower than rated.

    The mover farthest from its rating comes first. A faster mover may lie beyond a cut.
    """
    turning = case.solution.state[case.networks.network] == State.TURNING
    movers = np.flatnonzero(case.solution.dragged & turning)
    pairs, pair = unique_rows(
        case.solution.speed[movers], case.parts.column(Field.RATED_RPM)[movers]
    )
    both = [
        (case.solution.speeds[speed], case.parts.numbers[rated]) for speed, rated in pairs.tolist()
    ]
    # A mover whose zone a governor holds at rest is not dragged along.
    worst = sorted(
        {row for row in both if row[0] * row[1] > 0}, key=lambda row: (-abs(row[0] - row[1]), row)
    )
    place = {row: number for number, row in enumerate(worst)}
    rank = np.array([place.get(row, -1) for row in both], np.int64)[pair]
    movers, rank = movers[rank >= 0], rank[rank >= 0]
    for network, places in iter_by_network(case, movers, rank):
        speed, rated = worst[int(rank[places[0]])]
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, movers[places]),
            count=len(places),
            in_cut="lower",
            measured=speed,
            limit=rated,
            unit="rpm",
        )
