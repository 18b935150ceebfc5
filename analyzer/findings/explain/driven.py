"""The chain from what leads to a part: a mover, or a governor and what drives that in turn."""

from __future__ import annotations

from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.explain.explanation import DriveChain
from analyzer.findings.explain.ways import (
    Way,
    chain_along,
    find_way,
    join_ways,
    ports_of,
    zone_neighbours,
)


def driving_chain(case: Case, part: int) -> DriveChain | None:
    """Return the shortest chain from the mover that leads to a part.

    In a zone that a governor sets it runs through the governor back to what drives that. Where
    governors drive one another round, it starts at the first of them to come up again.

    Returns
    -------
    DriveChain or None
        None where nothing drives the part's zone.
    """
    way: Way = [(part, -1)]
    seen: set[int] = set()
    while True:
        start = way[0][0]
        zone = int(case.networks.zone[start])
        leader = int(case.solution.leader[zone])
        if leader < 0:
            return None if start == part else _from(case, way)
        if zone in seen:
            return _from(case, way)
        seen.add(zone)
        goals = {leader} if _is_mover(case, leader) else dict(ports_of(case, leader, zone))
        within = find_way(zone_neighbours(case, zone), start, goals)
        assert within is not None, "a zone is connected, and its leader turns it"
        way = [*within[:-1], *way]
        if _is_mover(case, leader):
            return _from(case, way)
        step = dict(ports_of(case, leader, zone))[way[0][0]]
        way = join_ways([(leader, -1)], step, way)


def _from(case: Case, way: Way) -> DriveChain:
    head = way[0][0]
    rpm = case.solution.speed_rpm(head)
    if rpm is None and _is_mover(case, head):
        rpm = case.parts.number(head, Field.RATED_RPM)
    return chain_along(case, way, rpm)


def _is_mover(case: Case, part: int) -> bool:
    return case.parts.catalogues.types[int(case.parts.type[part])].role == "mover"
