"""What already turns together in a build that grows, so that the growing can be steered."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from tests.judge.assembly import Assembly
from tests.judge.parts import Part
from tests.judge.placed import Place
from tests.judge.switched import Coupling, arrange


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
    """The parts of a build by what they turn together with.

    Where a loop contradicts itself, a part's turn is that along one way of many. What governors
    do is not followed.
    """

    def __init__(self) -> None:
        self.assembly = Assembly()
        self._cluster: dict[Place, _Cluster] = {}

    @property
    def parts(self) -> dict[Place, Part]:
        return self.assembly.parts

    def closeness(self, part: Part) -> int:
        """Return how many contacts a part has with those that are here."""
        return len(self.assembly.contacts_of(part))

    def add(self, part: Part, *, gentle: bool, agreeing: bool) -> bool:
        """Add a part, unless that is refused.

        `gentle` refuses one that closes an unbalanced loop, `agreeing` one that sets movers
        against each other.
        """
        joined: dict[_Cluster, Fraction] = {}
        for other, ratio in self._couplings(part):
            cluster = self._cluster[other]
            turn = cluster.turns[other] * ratio
            if joined.setdefault(cluster, turn) != turn and gentle:
                return False
        ways = {part.sense * part.rated > 0} if part.active else set()
        for cluster, turn in joined.items():
            ways |= {way == (turn > 0) for way in cluster.ways}
        if agreeing and len(ways) > 1:
            return False
        self.assembly.add(part)
        self._merge(_Cluster({part.place: Fraction(1)}, ways), joined)
        return True

    def _couplings(self, part: Part) -> list[tuple[Place, Fraction]]:
        """Return the parts that one couples to, with its turn per turn of each."""
        contacts = self.assembly.contacts_of(part)
        near = {
            place: self.parts.get(place, part) for contact in contacts for place in contact.places
        }
        return [_seen(coupling, part) for coupling in arrange(near, contacts).couplings]

    def _merge(self, alone: _Cluster, joined: dict[_Cluster, Fraction]) -> None:
        """Make one cluster of a part alone and of those that it joins, seen at their turns."""
        every = [(alone, Fraction(1)), *joined.items()]
        kept, unit = max(every, key=lambda pair: len(pair[0].turns))
        for cluster, turn in every:
            if cluster is not kept:
                kept.take(cluster.seen_from(turn / unit))
                self._cluster.update(dict.fromkeys(cluster.turns, kept))
        self._cluster.update(dict.fromkeys(alone.turns, kept))


def _seen(coupling: Coupling, part: Part) -> tuple[Place, Fraction]:
    if coupling.b == part.place:
        return coupling.a, coupling.ratio
    return coupling.b, 1 / coupling.ratio
