"""Ways through a drive, from what drives to what is driven, with the speed at every step."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final, TypeAlias

from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Kind
from analyzer.findings.case import Case
from analyzer.findings.clashes import follows, set_rpm
from analyzer.findings.explain.explanation import DriveChain, Step
from analyzer.findings.graph import Neighbours, neighbours_of
from analyzer.findings.loops import trail
from analyzer.findings.witness import ratio_from

#: (part, step to the next part) pairs from the first part of a way to its last, whose step is -1.
Way: TypeAlias = Sequence[tuple[int, int]]

#: Bits of numerator and denominator above which a speed is no longer followed along a way.
_MOST_BITS: Final = 2048


def zone_neighbours(case: Case, zone: int) -> Neighbours:
    """Return who is coupled to whom in a zone."""
    return neighbours_of(case.couplings, case.couplings_by_zone[zone])


def upstream_neighbours(case: Case, network: int) -> Neighbours:
    """Return the steps of a network against the way in which turning is passed on.

    Couplings lead both ways; from what a governor drives a step leads to the governor.
    """
    zones = sorted(set(case.networks.zone[case.networks.members(network)].tolist()))
    numbers = sorted(number for zone in zones for number in case.couplings_by_zone[zone])
    neighbours = neighbours_of(case.couplings, numbers)
    table = case.couplings.governed
    for row in case.networks.governors.governed.tolist():
        governor, other = int(table.part[row]), int(table.other[row])
        if case.networks.network[governor] == network:
            neighbours.setdefault(other, []).append((governor, len(case.couplings) + row))
    return neighbours


def find_way(neighbours: Neighbours, start: int, goals: Container[int]) -> Way | None:
    """Return the shortest way from the nearest of some goals to a part.

    Ties go to what is smaller by position. None where no goal can be reached.
    """
    way: Way | None = None

    def reached(part: int, back: Callable[[], Way]) -> bool:
        nonlocal way
        if part in goals:
            way = back()
        return way is not None

    walk_out(neighbours, [start], reached)
    return way


def walk_out(
    neighbours: Neighbours,
    sources: Iterable[int],
    reached: Callable[[int, Callable[[], Way]], bool],
) -> None:
    """Search from some parts breadth first.

    Parameters
    ----------
    neighbours
        The steps.
    sources
        Where to start.
    reached
        Called for each part in the order of its distance, with what gives the way from it back to
        the nearest source; the search ends where it returns True.
    """
    frontier = list(sources)
    via = dict.fromkeys(frontier, (-1, -1))
    while frontier:
        further = []
        for part in frontier:
            if reached(part, lambda part=part: trail(via, part)):  # type: ignore[misc]
                return
            for other, step in neighbours.get(part, ()):
                if other not in via:
                    via[other] = (part, step)
                    further.append(other)
        frontier = further


def join_ways(first: Way, step: int, second: Way) -> Way:
    """Return two ways as one, with a step between the end of the first and the second's start."""
    return [*first[:-1], (first[-1][0], step), *second]


def ports_of(case: Case, governor: int, zone: int) -> list[tuple[int, int]]:
    """Return what a governor drives in a zone, by part, with the step to it."""
    table, rows = case.couplings.governed, case.networks.governors.governed
    return sorted(
        (int(table.other[row]), len(case.couplings) + row)
        for row in rows[table.part[rows] == governor].tolist()
        if case.networks.zone[table.other[row]] == zone
    )


def chain_along(case: Case, way: Way, start_rpm: Fraction | None) -> DriveChain:
    """Return a way with the ratio and speed of each step.

    Parameters
    ----------
    case
        What is known of the save.
    way
        The way.
    start_rpm
        Speed of its first part; None where it has none.
    """
    rpm = start_rpm
    steps = [Step(way[0][0], None, None, None, rpm)]
    for (part, step), (other, _) in pairwise(way):
        row = step - len(case.couplings)
        if row < 0:
            ratio = ratio_from(case.couplings, part, step)
            rpm = _times(rpm, ratio)
            steps.append(Step(other, Kind(int(case.couplings.kind[step])), ratio, None, rpm))
        else:
            # What follows its sense in a network that does not turn has no known sense.
            rpm = case.solution.speed_rpm(other)
            if rpm is None:
                rpm = _set_directly(case, part, step)
            kind = Kind(int(case.couplings.governed.kind[row]))
            set_rpm = case.parts.number(part, Field.SET_RPM)
            steps.append(Step(other, kind, None, set_rpm, rpm))
    return DriveChain(tuple(steps))


def _set_directly(case: Case, governor: int, step: int) -> Fraction | None:
    if case.parts.number(governor, Field.SET_RPM) is None or follows(case, governor):
        return None
    return set_rpm(case, governor) * ratio_from(case.couplings, governor, step)


def _times(rpm: Fraction | None, ratio: Fraction) -> Fraction | None:
    if rpm is None:
        return None
    speed = rpm * ratio
    bits = speed.numerator.bit_length() + speed.denominator.bit_length()
    return speed if bits <= _MOST_BITS else None
