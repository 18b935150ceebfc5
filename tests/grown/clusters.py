"""What already turns together in a build that grows, so that the growing can be steered."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from tests.judge.contacts import STEPS, ratios
from tests.judge.entries import Part, Place
from tests.judge.vectors import add, dot


@dataclass(eq=False)
class _Cluster:
    """Parts with their turns per turn of the cluster, and the ways in which movers push it."""

    turns: dict[Place, Fraction]
    ways: set[bool]

    def seen_from(self, turn: Fraction) -> _Cluster:
        """Return the same with that turn for a unit."""
        return _Cluster(
            {place: its / turn for place, its in self.turns.items()},
            {way == (turn > 0) for way in self.ways},
        )

    def take(self, other: _Cluster) -> None:
        self.turns.update(other.turns)
        self.ways |= other.ways


class Clusters:
    """The parts of a build by what they hang together with.

    Where a loop contradicts itself, a part's turn is that along one way of many.
    """

    def __init__(self) -> None:
        self.parts: dict[Place, Part] = {}
        self._cluster: dict[Place, _Cluster] = {}

    def neighbours(self, part: Part) -> list[tuple[Part, list[Fraction]]]:
        """Return the parts that one at this place couples to, with its turns per turn of each."""
        dimension, at = part.place
        near = (self.parts.get((dimension, add(at, step))) for step in STEPS)
        found = [(other, ratios(other, part)) for other in near if other is not None]
        return [(other, its) for other, its in found if its]

    def add(self, part: Part, *, gentle: bool, agreeing: bool) -> bool:
        """Add a part, unless that is refused.

        `gentle` refuses one that closes an unbalanced loop, `agreeing` one that sets movers
        against each other.
        """
        joined: dict[_Cluster, Fraction] = {}
        for other, its in self.neighbours(part):
            cluster = self._cluster[other.place]
            for ratio in its:
                turn = cluster.turns[other.place] * ratio
                if joined.setdefault(cluster, turn) != turn and gentle:
                    return False
        ways = {_pushes_forwards(part)} if part.active else set()
        for cluster, turn in joined.items():
            ways |= {way == (turn > 0) for way in cluster.ways}
        if agreeing and len(ways) > 1:
            return False
        self.parts[part.place] = part
        self._merge(_Cluster({part.place: Fraction(1)}, ways), joined)
        return True

    def _merge(self, alone: _Cluster, joined: dict[_Cluster, Fraction]) -> None:
        """Make one cluster of a part alone and of those that it joins, seen at their turns."""
        every = [(alone, Fraction(1)), *joined.items()]
        kept, unit = max(every, key=lambda pair: len(pair[0].turns))
        for cluster, turn in every:
            if cluster is not kept:
                kept.take(cluster.seen_from(turn / unit))
                self._cluster.update(dict.fromkeys(cluster.turns, kept))
        self._cluster.update(dict.fromkeys(alone.turns, kept))


def _pushes_forwards(mover: Part) -> bool:
    return dot(mover.front, mover.axis) * mover.rated > 0
