"""What the zones of one network do, where governors drive some of them.

Movers turn their zones, and a governor whose own zone turns drives the zone at its port at the set
speed, or holds it at rest where that is 0. What is written here is the rule, step by step; where
the rule leaves a choice:

- A governor whose set speed cannot be used drives nothing and is held against nothing; it only
  joins its zones to one network.
- A zone whose movers push opposite ways has no speed to hold a governor against that has both its
  sides there; what follows its sense follows that of its leading mover. A zone whose movers are
  only unequal counts as turning like the fastest.
- Of a zone whose speeds are out of range only the sense is known: governors that drive it have to
  agree in that, and one that has both its sides there is held against nothing.
- A ring of zones of which each follows another has no sense of its own. Its smallest zone with an
  active mover takes its leading mover's; rings that feed other zones come before those.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from tests.judge.switched import Drive
from tests.judge.zones import Zone


@dataclass
class Outcome:
    """What the zones do, by number.

    `speeds` are those of the roots, of zones that turn. `governed` are the zones that turn and
    that some governor drives; `held` those that a set speed of 0 keeps at rest. `fights` are the
    zones whose movers push against what the governors set, `locked` those whose movers are at odds.
    """

    turning: set[int] = field(default_factory=set)
    held: set[int] = field(default_factory=set)
    speeds: dict[int, Fraction] = field(default_factory=dict)
    governed: set[int] = field(default_factory=set)
    clashing: set[int] = field(default_factory=set)
    fights: set[int] = field(default_factory=set)
    locked: set[int] = field(default_factory=set)
    unsteady: bool = False

    @property
    def conflict(self) -> str | None:
        if self.unsteady or self.clashing:
            return "governors"
        return "movers" if self.fights or self.locked else None


@dataclass(frozen=True)
class _Edge:
    """A governor from zone to zone: what it asks of the target's root if it asks for a turn.

    `asks` is the root's speed for a governor of its own sense. For one that follows it is the
    root's speed if the source's root turned forwards; else it is the opposite.
    """

    source: int
    target: int
    asks: Fraction
    follows: bool

    def asked(self, ways: dict[int, int]) -> Fraction | None:
        """Return what it asks of the target's root; None where that is not known yet."""
        if not self.follows:
            return self.asks
        way = ways.get(self.source)
        return None if way is None else way * self.asks


def run(zones: list[Zone], drives: list[Drive]) -> Outcome:
    """Return what the zones of a network do, whose couplings are all balanced."""
    edges = [_edge(zones, drive) for drive in drives if drive.turn is not None and not drive.joins]
    outcome = Outcome()
    if not _find_what_turns(zones, edges, outcome):
        outcome.unsteady = True
        return outcome
    firing = [edge for edge in edges if edge.source in outcome.turning]
    into: dict[int, list[_Edge]] = {zone: [] for zone in outcome.turning}
    for edge in firing:
        if edge.asks and edge.source != edge.target:
            if edge.target in outcome.held:
                outcome.clashing.add(edge.target)
            else:
                into[edge.target].append(edge)
    outcome.governed = {zone for zone, edges in into.items() if edges}
    for number in sorted(outcome.turning):
        if not into[number]:
            outcome.speeds[number] = zones[number].leading
            if zones[number].at_odds:
                outcome.locked.add(number)
    _find_speeds(zones, into, outcome)
    ways = {number: _sign(speed) for number, speed in outcome.speeds.items()}
    pushed = {number for number in outcome.locked if zones[number].pushed_both_ways}
    for edge in firing:
        inside = edge.source == edge.target
        beyond = zones[edge.target].out_of_range
        if edge.target not in outcome.speeds or edge.target in pushed or (inside and beyond):
            continue
        asked, found = edge.asked(ways), outcome.speeds[edge.target]
        if _sign(asked) != _sign(found) or (asked != found and not beyond):
            outcome.clashing.add(edge.target)
    for number in sorted(outcome.governed):
        if any(_sign(asked) != ways[number] for asked in zones[number].asked.values()):
            outcome.fights.add(number)
    return outcome


def _edge(zones: list[Zone], drive: Drive) -> _Edge:
    source = _number_of(zones, drive.governor)
    target = _number_of(zones, drive.other)
    turn = drive.turn
    if drive.follows:
        turn = abs(turn) * _sign(zones[source].turns[drive.governor])
    asks = drive.ratio * turn / zones[target].turns[drive.other]
    return _Edge(source, target, asks, drive.follows)


def _number_of(zones: list[Zone], place: object) -> int:
    return next(number for number, zone in enumerate(zones) if place in zone.turns)


def _find_what_turns(zones: list[Zone], edges: list[_Edge], outcome: Outcome) -> bool:
    """Find the zones that turn and those held at rest; return whether that comes to an end."""
    held: set[int] = set()
    seen: list[set[int]] = []
    while held not in seen:
        seen.append(held)
        turning = {number for number, zone in enumerate(zones) if zone.movers} - held
        grown = True
        while grown:
            reached = {edge.target for edge in edges if edge.source in turning and edge.asks}
            grown = not reached - held <= turning
            turning |= reached - held
        outcome.turning, outcome.held = turning, held
        held = {
            edge.target
            for edge in edges
            if edge.source in turning and not edge.asks and edge.source != edge.target
        }
    return held == seen[-1]


def _find_speeds(zones: list[Zone], into: dict[int, list[_Edge]], outcome: Outcome) -> None:
    """Give every governed zone a speed that some governor asks of it."""
    for number, edges in into.items():
        own = [edge.asks for edge in edges if not edge.follows]
        if own:
            outcome.speeds[number] = own[0]
    while True:
        ways = {number: _sign(speed) for number, speed in outcome.speeds.items()}
        waiting = sorted(outcome.turning - outcome.speeds.keys())
        if not waiting:
            return
        for number in waiting:
            asked = [edge.asked(ways) for edge in into[number]]
            known = [speed for speed in asked if speed is not None]
            if known:
                outcome.speeds[number] = known[0]
                break
        else:
            number = _first_of_a_ring(zones, waiting, into)
            magnitude = abs(into[number][0].asks)
            outcome.speeds[number] = magnitude * _sign(zones[number].leading)


def _first_of_a_ring(zones: list[Zone], waiting: list[int], into: dict[int, list[_Edge]]) -> int:
    """Return the smallest zone with an active mover in a ring that no other ring feeds."""
    before = {number: _all_before(number, into) for number in waiting}
    ring = next(
        number for number in waiting if all(number in before[other] for other in before[number])
    )
    return min(number for number in {ring, *before[ring]} if zones[number].movers)


def _all_before(number: int, into: dict[int, list[_Edge]]) -> set[int]:
    found: set[int] = set()
    waiting = [number]
    while waiting:
        for edge in into[waiting.pop()]:
            if edge.source not in found:
                found.add(edge.source)
                waiting.append(edge.source)
    return found


def _sign(number: Fraction) -> int:
    return (number > 0) - (number < 0)
