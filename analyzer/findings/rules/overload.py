"""Overload: the machines of a network ask for more power than its movers can give."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import network_finding
from analyzer.solution.solution import State

NAME: Final = "overload"


def find_overloads(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each overloaded network, at its most demanding machine.

    What lies beyond a cut may drive the network too, so there it is a note.
    """
    for network in case.selected_in(State.OVERLOADED):
        cut = bool(case.solution.cut[network])
        machines = _by_demand(case, network)
        yield network_finding(
            case,
            NAME,
            Level.NOTE if cut else level,
            network,
            [case.parts.block_at(part) for part in machines[: case.policy.worst_places]],
            count=len(machines),
            certain=not cut,
            measured=case.solution.demand_power(network),
            limit=case.solution.capacity_power(network),
            unit=case.parts.catalogues.power_unit,
        )


def _by_demand(case: Case, network: int) -> list[int]:
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
