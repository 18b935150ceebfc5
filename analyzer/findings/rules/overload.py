"""Overload: the machines of a network ask for more power than its movers can give."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.demand import by_demand
from analyzer.findings.findings import Finding
from analyzer.findings.make import network_finding
from analyzer.solution.solution import State

NAME: Final = "overload"


def find_overloads(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each overloaded network, at its most demanding machine.

    What lies beyond a cut may drive the network too, so there it is a note.
    """
    for network in case.selected_in(State.OVERLOADED):
        machines = by_demand(case, network)
        yield network_finding(
            case,
            NAME,
            level,
            network,
            [case.parts.block_at(part) for part in machines[: case.policy.worst_places]],
            count=len(machines),
            in_cut="note",
            measured=case.solution.demand_power(network),
            limit=case.solution.capacity_power(network),
            unit=case.parts.catalogues.power_unit,
        )
