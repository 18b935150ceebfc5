"""In a conflict, the two chains that disagree about one part."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.chain import Chain
from analyzer.findings.clashes import clash_chain
from analyzer.findings.explain.explanation import DriveChain
from analyzer.findings.explain.ways import (
    Way,
    chain_along,
    find_way,
    join_ways,
    ports_of,
    walk_out,
    zone_neighbours,
)
from analyzer.findings.graph import Neighbours
from analyzer.findings.knots import find_knots
from analyzer.solution.solution import Clash, Conflict

#: The chains that show a conflict: two to one part, or one that comes back to where it started.
Chains = tuple[DriveChain, ...]


def disagreeing_chains(case: Case, part: int) -> Chains:
    """Return the chains that show why a part of a conflicting network cannot turn.

    They lead to the part itself where the conflict reaches it, else to a part of its network.
    """
    network = int(case.networks.network[part])
    match Conflict(int(case.solution.conflict[network])):
        case Conflict.LOOP:
            return _round_a_loop(case, part)
        case Conflict.MOVERS if not _clashes(case, network):
            return _from_two_movers(case, part)
        case _:
            return _from_governors(case, part)


def _round_a_loop(case: Case, part: int) -> Chains:
    zone = _zone_near(case, part, set(case.disagreeing_by_zone.occupied()))
    neighbours = zone_neighbours(case, zone)
    knots = find_knots(case, zone)
    inside = case.networks.zone[part] == zone
    start = part if inside else knots[0].loop.parts[0]
    on_loop = {one: knot.loop for knot in reversed(knots) for one in knot.loop.parts}
    out = find_way(neighbours, start, on_loop)
    assert out is not None, "a zone is connected"
    loop = on_loop[out[0][0]]
    into = _way_from(neighbours, loop.parts, _active_movers(case, zone).__contains__)
    leave = out[0][0]
    if into is None:
        enter, into = _opposite(loop, leave), None
    else:
        enter = into[-1][0]
    if enter == leave:
        # The part hangs on the loop where the mover does: the two ways meet across from there.
        leave, out = _opposite(loop, enter), [(_opposite(loop, enter), -1)]
    sides = _both_sides(loop, enter, leave)
    ways = [[*side[:-1], *out] for side in sides]
    if into is None:
        return tuple(chain_along(case, way, None) for way in ways)
    rated = case.parts.number(into[0][0], Field.RATED_RPM)
    return tuple(chain_along(case, [*into[:-1], *way], rated) for way in ways)


def _opposite(loop: Chain, part: int) -> int:
    parts = loop.parts
    return parts[(parts.index(part) + len(parts) // 2) % len(parts)]


def _both_sides(loop: Chain, enter: int, leave: int) -> tuple[Way, Way]:
    """Return the two ways round a loop between two of its parts."""
    size = len(loop.parts)
    first = loop.parts.index(enter)
    apart = (loop.parts.index(leave) - first) % size
    forward = [(first + step) % size for step in range(apart + 1)]
    backward = [(first - step) % size for step in range(size - apart + 1)]
    onward = [(loop.parts[at], loop.couplings[at]) for at in forward[:-1]]
    # The coupling from one part back to the one before it is that of the one before.
    homeward = [(loop.parts[at], loop.couplings[at - 1]) for at in backward[:-1]]
    return [*onward, (leave, -1)], [*homeward, (leave, -1)]


def _from_two_movers(case: Case, part: int) -> Chains:
    opposed = set((case.solution.opposing >= 0).nonzero()[0].tolist())
    zone = _zone_near(case, part, opposed)
    meet = part if case.networks.zone[part] == zone else int(case.solution.leader[zone])
    movers = _active_movers(case, zone)
    ways: list[Way] = []

    def reached(mover: int, back: Callable[[], Way]) -> bool:
        if mover in movers and (not ways or _differ(case, ways[0][0][0], mover, zone)):
            ways.append(back())
        return len(ways) == 2

    walk_out(zone_neighbours(case, zone), [meet], reached)
    return tuple(
        chain_along(case, way, case.parts.number(way[0][0], Field.RATED_RPM)) for way in ways
    )


def _differ(case: Case, one: int, other: int, zone: int) -> bool:
    """Tell whether two movers of a zone contradict each other: by sense, or else by speed."""
    first, second = _sense(case, one), _sense(case, other)
    if first != second:
        return True
    if len({_sense(case, mover) for mover in _active_movers(case, zone)}) > 1:
        return False
    return _asked_of_root(case, one) != _asked_of_root(case, other)


def _sense(case: Case, mover: int) -> bool:
    upright = case.networks.potentials.sign[int(case.networks.potential[mover])] > 0
    return bool((_rated(case, mover) > 0) == upright)


def _asked_of_root(case: Case, mover: int) -> Fraction:
    return _rated(case, mover) / case.networks.potentials[int(case.networks.potential[mover])]


def _rated(case: Case, mover: int) -> Fraction:
    rated = case.parts.number(mover, Field.RATED_RPM)
    assert rated is not None, "an active mover has a rated speed"
    return rated


def _from_governors(case: Case, part: int) -> Chains:
    clashes = _clashes(case, int(case.networks.network[part]))
    here = [clash for clash in clashes if clash.zone == case.networks.zone[part]]
    clash = (here or clashes)[0]
    if clash.first == clash.second:
        chain = clash_chain(case, clash)
        if chain is None:
            return ()
        loop = zip((*chain.parts, chain.parts[0]), (*chain.couplings, -1), strict=True)
        return (chain_along(case, list(loop), None),)
    neighbours = zone_neighbours(case, clash.zone)
    meet = part if here else _stands_at(case, clash)
    first, second = (
        _way_of(case, neighbours, who, meet, clash.zone) for who in (clash.first, clash.second)
    )
    return tuple(chain_along(case, way, _rating(case, way[0][0])) for way in (first, second))


def _clashes(case: Case, network: int) -> list[Clash]:
    conflict = Conflict(int(case.solution.conflict[network]))
    return [
        clash
        for clash in case.solution.clashes
        if clash.network == network and clash.conflict is conflict
    ]


def _stands_at(case: Case, clash: Clash) -> int:
    """Return where the second of a clash acts on its zone."""
    ports = ports_of(case, clash.second, clash.zone)
    return ports[0][0] if ports else clash.second


def _way_of(case: Case, neighbours: Neighbours, who: int, meet: int, zone: int) -> Way:
    """Return the way to a part from a mover, or from a governor through its port."""
    ports = dict(ports_of(case, who, zone))
    way = find_way(neighbours, meet, ports or {who})
    assert way is not None, "a zone is connected"
    return join_ways([(who, -1)], ports[way[0][0]], way) if ports else way


def _rating(case: Case, part: int) -> Fraction | None:
    return case.parts.number(part, Field.RATED_RPM)


def _way_from(
    neighbours: Neighbours, sources: tuple[int, ...], is_goal: Callable[[int], bool]
) -> Way | None:
    """Return the shortest way from a goal to one of some parts."""
    found: list[Way] = []

    def reached(part: int, back: Callable[[], Way]) -> bool:
        if is_goal(part):
            found.append(back())
        return bool(found)

    walk_out(neighbours, sorted(sources), reached)
    return found[0] if found else None


def _active_movers(case: Case, zone: int) -> set[int]:
    members = case.networks.members(int(case.zone_network[zone]))
    here = case.solution.active[members] & (case.networks.zone[members] == zone)
    return set(members[here].tolist())


def _zone_near(case: Case, part: int, zones: set[int]) -> int:
    """Return the part's zone if it is one of some, else the first of those in its network."""
    own = int(case.networks.zone[part])
    if own in zones:
        return own
    network = int(case.networks.network[part])
    return min(zone for zone in zones if int(case.zone_network[zone]) == network)
