"""The machines of a network by the power they ask for."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case


def by_demand(case: Case, network: int) -> list[int]:
    """Return the machines that ask for power, the most demanding first, then by position."""
    members = case.networks.members(network)
    machines = members[case.machine[members]]
    torque = case.parts.column(Field.TORQUE)[machines]
    pairs, pair = unique_rows(torque, case.solution.speed[machines])
    asked = [
        case.parts.numbers[torque] * abs(case.solution.speeds[speed])
        for torque, speed in pairs.tolist()
    ]
    rank = {power: place for place, power in enumerate(sorted(set(asked), reverse=True))}
    places = np.array([rank[power] for power in asked])[pair]
    asking = places < rank.get(Fraction(0), len(rank))
    ordered: list[int] = machines[asking][np.argsort(places[asking], kind="stable")].tolist()
    return ordered
