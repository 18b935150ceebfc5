"""Chains of parts that show a clash of governors: some of their steps lead through governed ports.

Such a step fixes no ratio of the governor's own speed. Its ratio is the speed of the part at the
port per speed with which the governor would have to turn for that. In a chain it has the number of
its row in the table of governed couplings, counted on from the couplings proper.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TypeAlias

from analyzer.catalogue.catalogue import Field, Governor, Port
from analyzer.findings.case import Case
from analyzer.findings.chain import Chain
from analyzer.findings.graph import Neighbours, neighbours_of
from analyzer.findings.loops import trail
from analyzer.solution.solution import Clash

#: (part, step) pairs.
_Steps: TypeAlias = Sequence[tuple[int, int]]


def clash_chain(case: Case, clash: Clash) -> Chain | None:
    """Return the shortest chain that shows a clash, by number of steps.

    Between two governors, or a governor and a mover, it is the path from the first's port through
    the zone to the second's port or to the second. Where a governor contradicts itself it is the
    loop from its port back to it: through its own zone or, where that does not lead there, through
    zones that governors drive in turn.

    Returns
    -------
    Chain or None
        None where nothing leads back from the governor's port to it.
    """
    if clash.first == clash.second:
        return _loop(case, clash.first)
    steps = [step for step in _ports(case, clash.first) if _lies_in(case, step, clash.zone)]
    ends = [step for step in _ports(case, clash.second) if _lies_in(case, step, clash.zone)]
    neighbours = neighbours_of(case.couplings, case.couplings_by_zone[clash.zone])
    goals = dict(ends) or {clash.second: -1}
    found = _search(clash.first, steps, neighbours, goals, blocked=[clash.second])
    if found is None:
        return None
    last, _ = found[-1]
    if ends:
        found.append((clash.second, goals[last]))
    return _chain(found)


def _loop(case: Case, governor: int) -> Chain | None:
    zone = int(case.networks.zone[governor])
    ports = _ports(case, governor)
    own = [step for step in ports if _lies_in(case, step, zone)]
    if own:
        neighbours = neighbours_of(case.couplings, case.couplings_by_zone[zone])
        found = _search(governor, own, neighbours, {governor: -1})
    else:
        found = _search(governor, ports, _driven_onward(case, governor), {governor: -1})
    if found is None:
        return None
    chain = _chain(found)
    return Chain("loop", chain.parts[:-1], chain.couplings)


def _driven_onward(case: Case, governor: int) -> Neighbours:
    """Return the steps that turning can take in a governor's network, but through its own port."""
    network = int(case.networks.network[governor])
    zones = sorted(set(case.networks.zone[case.networks.members(network)].tolist()))
    numbers = sorted(number for zone in zones for number in case.couplings_by_zone[zone])
    neighbours = neighbours_of(case.couplings, numbers)
    for row in case.networks.governors.governed.tolist():
        part, other = (
            int(side[row]) for side in (case.couplings.governed.part, case.couplings.governed.other)
        )
        if part != governor and case.networks.network[part] == network:
            neighbours.setdefault(part, []).append((other, len(case.couplings) + row))
    return neighbours


def _ports(case: Case, governor: int) -> list[tuple[int, int]]:
    """Return what stands at a governor's port, by part, with the step to it."""
    table = case.couplings.governed
    rows = case.networks.governors.governed
    return sorted(
        (int(table.other[row]), len(case.couplings) + row)
        for row in rows[table.part[rows] == governor].tolist()
    )


def _lies_in(case: Case, step: tuple[int, int], zone: int) -> bool:
    return int(case.networks.zone[step[0]]) == zone


def _search(
    start: int,
    steps: _Steps,
    neighbours: Neighbours,
    goals: Mapping[int, int],
    blocked: Sequence[int] = (),
) -> list[tuple[int, int]] | None:
    """Return the shortest way that begins with one of some steps, as (part, step to it) pairs."""
    # No way leads through where it starts, or through the other governor to its own port.
    via = dict.fromkeys({start, *blocked}, (-1, -1))
    for goal in goals:
        via.pop(goal, None)
    frontier = []
    for other, step in steps:
        if other not in via:
            via[other] = (-1, step)
            frontier.append(other)
    while frontier:
        reached = []
        for part in frontier:
            if part in goals:
                return [(start, -1), *reversed(trail(via, part))]
            for other, coupling in neighbours.get(part, ()):
                if other not in via:
                    via[other] = (part, coupling)
                    reached.append(other)
        frontier = reached
    return None


def _chain(way: _Steps) -> Chain:
    return Chain("path", tuple(part for part, _ in way), tuple(step for _, step in way[1:]))


def set_rpm(case: Case, governor: int) -> Fraction:
    """Return the speed with which a governor would have to turn for its port to turn as set.

    It is about the positive world axis of the governor's front; where the governor follows its own
    sense, only the magnitude means something.
    """
    rpm = case.parts.number(governor, Field.SET_RPM)
    port = _governor(case, governor).port
    factor = case.parts.number(governor, Field(port)) if port < Port.RIM else Fraction(1)
    assert rpm is not None, "a governor that asks for something has a usable speed"
    assert factor is not None, "and so has its end a factor"
    return rpm / abs(factor)


def follows(case: Case, governor: int) -> bool:
    """Tell whether a governor's port turns the way the governor does."""
    return _governor(case, governor).follows


def _governor(case: Case, part: int) -> Governor:
    entry = case.parts.catalogues.types[int(case.parts.type[part])].governor
    assert entry is not None, "only a governor governs"
    return entry
