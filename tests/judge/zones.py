"""A zone: parts that couplings hold together, and what its movers ask of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from tests.judge.loops import Edge, Steps, balanced, reached, steps_from
from tests.judge.parts import Part
from tests.judge.placed import Place
from tests.judge.switched import Coupling

#: Speeds of a zone may lie this far apart, as a quotient; beyond, none is given.
WIDEST = 2**256


@dataclass(frozen=True)
class Zone:
    """Members in order of their places, and the couplings among them."""

    members: tuple[Part, ...]
    couplings: tuple[Coupling, ...]

    @property
    def root(self) -> Place:
        return self.members[0].place

    @cached_property
    def edges(self) -> list[Edge]:
        return [Edge(coupling.a, coupling.b, coupling.ratio) for coupling in self.couplings]

    @cached_property
    def steps(self) -> Steps:
        return steps_from(self.edges)

    @cached_property
    def balanced(self) -> bool:
        return balanced(self.edges)

    @cached_property
    def turns(self) -> dict[Place, Fraction]:
        """The turns of every part per turn of the root."""
        turns = {self.root: Fraction(1)}
        waiting = [self.root]
        for here in waiting:
            for there, ratio in self.steps.get(here, []):
                if there not in turns:
                    turns[there] = turns[here] * ratio
                    waiting.append(there)
        return turns

    @cached_property
    def out_of_range(self) -> bool:
        magnitudes = [abs(turn) for turn in self.turns.values()]
        return max(magnitudes) > WIDEST * min(magnitudes)

    @cached_property
    def movers(self) -> list[Part]:
        """The movers that are active."""
        return [part for part in self.members if part.role == "mover" and part.active]

    @cached_property
    def asked(self) -> dict[Place, Fraction]:
        """The speed that each active mover asks of the root."""
        return {
            mover.place: mover.sense * mover.rated / self.turns[mover.place]
            for mover in self.movers
        }

    @property
    def leading(self) -> Fraction:
        """The speed that the leading mover asks of the root: the fastest, then the first."""
        return max(self.asked.values(), key=abs)

    @property
    def pushed_both_ways(self) -> bool:
        return len({speed > 0 for speed in self.asked.values()}) > 1

    @cached_property
    def at_odds(self) -> list[tuple[Place, Place]]:
        """The pairs of movers that push opposite ways, else the unequal ones if that counts.

        It counts where the catalogue of any of the movers says so.
        """
        strict = any(mover.strict for mover in self.movers)
        pairs = [(a, b) for a in self.asked for b in self.asked if a < b]
        opposite = [(a, b) for a, b in pairs if (self.asked[a] > 0) != (self.asked[b] > 0)]
        unequal = [(a, b) for a, b in pairs if strict and self.asked[a] != self.asked[b]]
        return opposite or unequal

    def path_between(self, pairs: list[tuple[Place, Place]]) -> int:
        """Return how many parts lie on the shortest path between the two of any pair."""
        return 1 + min(reached(first, self.steps)[second] for first, second in pairs)


def zones_of(parts: dict[Place, Part], couplings: list[Coupling]) -> list[Zone]:
    """Return the zones of some parts, in the order of their smallest members."""
    steps = steps_from([Edge(coupling.a, coupling.b, coupling.ratio) for coupling in couplings])
    zone_of: dict[Place, Place] = {}
    for place in sorted(parts):
        if place not in zone_of:
            zone_of.update(dict.fromkeys(reached(place, steps), place))
    members: dict[Place, list[Part]] = {root: [] for root in zone_of.values()}
    for place in sorted(parts):
        members[zone_of[place]].append(parts[place])
    inside: dict[Place, list[Coupling]] = {root: [] for root in members}
    for coupling in couplings:
        inside[zone_of[coupling.a]].append(coupling)
    return [Zone(tuple(members[root]), tuple(inside[root])) for root in sorted(members)]
