"""The judge: a slow, plain solver of builds that shares nothing with the tool.

It reads a catalogue as TOML gives it and a build as a list of blocks, looks what is next to every
part, and walks. Where the tool has tables, exponents and forests, this has dictionaries, fractions
and breadth-first search.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any

from tests.judge.assembly import Assembly
from tests.judge.entries import understand
from tests.judge.governed import Outcome, run
from tests.judge.loops import Edge, balanced, blocks, reached, shortest_unbalanced_loop, steps_from
from tests.judge.parts import Part
from tests.judge.placed import Place, Placement
from tests.judge.records import agrees
from tests.judge.switched import Arrangement, arrange
from tests.judge.verdicts import Verdict
from tests.judge.views import EVERYTHING, View, broken_link, is_cut
from tests.judge.zones import Zone, zones_of


def read_catalogue(text: str) -> dict[str, Any]:
    """Return a catalogue's text as TOML, with exact decimals."""
    return tomllib.loads(text, parse_float=Decimal)


def judge(
    catalogues: list[dict[str, Any]], build: list[Placement], view: View = EVERYTHING
) -> list[Verdict]:
    """Return a verdict on every network of a build, in the order of their smallest members."""
    shown = [placement for placement in build if view.shows(placement.dimension, placement.at)]
    understood = [understand(catalogues, placement, view.data_version) for placement in shown]
    parts = {part.place: part for part in understood if part is not None}
    every = arrange(parts, Assembly(list(parts.values())).every_contact())
    return [_verdict(parts, members, own, view) for members, own in _networks(parts, every)]


def _networks(
    parts: dict[Place, Part], every: Arrangement
) -> Iterator[tuple[list[Place], Arrangement]]:
    """Yield the members of each network, in order, with what is among them."""
    joints = [Edge(coupling.a, coupling.b, coupling.ratio) for coupling in every.couplings]
    joints += [Edge(drive.governor, drive.other, drive.ratio) for drive in every.drives]
    steps = steps_from(joints)
    network_of: dict[Place, Place] = {}
    for place in sorted(parts):
        if place not in network_of:
            network_of.update(dict.fromkeys(reached(place, steps), place))
    found: dict[Place, tuple[list[Place], Arrangement]] = {
        anchor: ([], Arrangement()) for anchor in network_of.values()
    }
    for place in sorted(parts):
        found[network_of[place]][0].append(place)
    for coupling in every.couplings:
        found[network_of[coupling.a]][1].couplings.append(coupling)
    for drive in every.drives:
        found[network_of[drive.governor]][1].drives.append(drive)
    for place in every.opened:
        found[network_of[place]][1].opened.add(place)
    for anchor in sorted(found):
        yield found[anchor]


def _verdict(
    parts: dict[Place, Part],
    members: list[Place],
    own: Arrangement,
    view: View,
) -> Verdict:
    mine = {place: parts[place] for place in members}
    zones = zones_of(mine, own.couplings)
    movers = [mover for zone in zones for mover in zone.movers]
    knots = [block for zone in zones if not zone.balanced for block in blocks(zone.edges)]
    loops = [shortest_unbalanced_loop(knot) for knot in knots if not balanced(knot)]
    outcome = Outcome()
    if loops:
        state, conflict = "conflicting", "loop"
    elif not movers:
        state, conflict = "idle", None
    else:
        outcome = run(zones, own.drives)
        conflict = outcome.conflict
        state = "turning" if conflict is None else "conflicting"
    speeds: dict[Place, Fraction | None] = dict.fromkeys(members)
    if state == "turning":
        speeds = _speeds(zones, outcome)
    capacity = sum((mover.torque * abs(mover.rated) for mover in movers), Fraction(0))
    demand = _demand(mine, state, speeds)
    if state == "turning" and demand is not None and demand > capacity:
        state = "overloaded"
    broken = [(place, broken_link(part, parts, view)) for place, part in mine.items()]
    unusable = frozenset(place for place, part in mine.items() if part.unusable)
    return Verdict(
        members=tuple(members),
        zones=tuple(tuple(part.place for part in zone.members) for zone in zones),
        state=state,
        conflict=conflict,
        speeds=speeds,
        capacity=capacity,
        demand=demand,
        cut=bool(unusable) or any(is_cut(part, view) for part in mine.values()),
        loops=tuple(sorted(loops)),
        paths=_paths(zones, outcome),
        driven=_places(zones, outcome.governed),
        held=_places(zones, outcome.held),
        out_of_range=_places(
            zones, {number for number in outcome.turning if zones[number].out_of_range}
        ),
        over_speed=frozenset(p for p, part in mine.items() if _too_fast(part, speeds[p])),
        too_slow=frozenset(p for p, part in mine.items() if _too_slow(part, speeds[p])),
        dragged=frozenset(m.place for m in movers if _dragged(m, speeds[m.place])),
        stale=frozenset(p for p, part in mine.items() if _stale(part, speeds[p], state)),
        broken=frozenset((place, reason) for place, reason in broken if reason is not None),
        unusable=unusable,
        opened=frozenset(own.opened),
        couplings=tuple(own.couplings),
        drives=tuple(own.drives),
    )


def _paths(zones: list[Zone], outcome: Outcome) -> tuple[int, ...]:
    if outcome.conflict != "movers":
        return ()
    locked = [zones[number] for number in outcome.locked]
    return tuple(sorted(zone.path_between(zone.at_odds) for zone in locked))


def _places(zones: list[Zone], numbers: set[int]) -> frozenset[Place]:
    return frozenset(part.place for number in numbers for part in zones[number].members)


def _speeds(zones: list[Zone], outcome: Outcome) -> dict[Place, Fraction | None]:
    """Return every part's speed; 0 where its zone does not turn, None where it is out of range."""
    speeds: dict[Place, Fraction | None] = {}
    for number, zone in enumerate(zones):
        if number in outcome.turning and zone.out_of_range:
            speeds |= dict.fromkeys(zone.turns)
        else:
            root = outcome.speeds.get(number, Fraction(0))
            speeds |= {place: root * turn for place, turn in zone.turns.items()}
    return speeds


def _demand(
    parts: dict[Place, Part], state: str, speeds: dict[Place, Fraction | None]
) -> Fraction | None:
    if state != "turning":
        return Fraction(0) if state == "idle" else None
    demand = Fraction(0)
    for place, part in parts.items():
        if part.role == "machine":
            speed = speeds[place]
            if part.torque is None or speed is None:
                return None
            demand += part.torque * abs(speed)
    return demand


def _too_fast(part: Part, speed: Fraction | None) -> bool:
    return speed is not None and part.limit is not None and abs(speed) > part.limit


def _too_slow(part: Part, speed: Fraction | None) -> bool:
    """Return whether a machine turns slower than it has to, or rests in a network that turns."""
    return speed is not None and part.least is not None and abs(speed) < part.least


def _dragged(mover: Part, speed: Fraction | None) -> bool:
    return speed is not None and speed != mover.sense * mover.rated


def _stale(part: Part, speed: Fraction | None, state: str) -> bool:
    """Return whether a part's recorded speed is another than the one found.

    Where a network turns but the speed is out of range, there is nothing to hold it against.
    """
    if part.record is None or (speed is None and state == "turning"):
        return False
    return not agrees(part.record, speed, stands_still=state != "turning")
