"""Thin headroom: a turning network uses nearly all that its movers can give."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.findings.case import Case
from analyzer.findings.demand import by_demand
from analyzer.findings.findings import Finding
from analyzer.findings.make import network_finding
from analyzer.findings.thresholds import thin_shares
from analyzer.solution.solution import State

NAME: Final = "thin-headroom"


def find_thin_headrooms(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each turning network whose headroom is below its share of capacity.

    Exactly the share is enough. What lies beyond a cut may give or take power.
    """
    share, shares = thin_shares(case)
    turning = np.flatnonzero(
        case.selected & (case.solution.state == State.TURNING) & (case.solution.demand >= 0)
    )
    rows, row = unique_rows(
        case.solution.capacity[turning], case.solution.demand[turning], share[turning]
    )
    powers = case.solution.powers
    thin = [
        bool(powers[demand]) and powers[capacity] - powers[demand] < shares[at] * powers[capacity]
        for capacity, demand, at in rows.tolist()
    ]
    for network in turning[np.array(thin, bool)[row]].tolist():
        machines = by_demand(case, network)
        capacity, demand = (
            powers[int(of[network])] for of in (case.solution.capacity, case.solution.demand)
        )
        yield network_finding(
            case,
            NAME,
            level,
            network,
            [case.parts.block_at(part) for part in machines[: case.policy.worst_places]],
            count=len(machines),
            in_cut="note",
            measured=capacity - demand,
            limit=shares[int(share[network])] * capacity,
            unit=case.parts.catalogues.power_unit,
        )
