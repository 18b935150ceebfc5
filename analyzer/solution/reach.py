"""Which zones turn: the least set that movers turn and governors pass on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, Protocol, TypeVar


class Drives(Protocol):
    """An edge from a zone that drives to a zone that is driven, at a speed that may be 0."""

    @property
    def driving(self) -> int:
        """The zone that drives."""

    @property
    def driven(self) -> int:
        """The zone that is driven."""

    @property
    def root_rpm(self) -> Fraction:
        """The speed; 0 holds the driven zone at rest."""


E = TypeVar("E", bound=Drives)


@dataclass(frozen=True)
class Reach(Generic[E]):
    """Zones that turn, and the edges that act."""

    turning: frozenset[int]
    firing: tuple[E, ...]


def find_reach(edges: Sequence[E], moved: frozenset[int]) -> Reach[E] | None:
    """Find which zones turn.

    Parameters
    ----------
    edges
        The governors, in a fixed order.
    moved
        Zones with an active mover.

    Returns
    -------
    Reach or None
        Given the zones held at rest, the turning ones are the least set with every other moved
        zone, closed under edges with a speed. The zones held at rest are those that a turning
        zone holds at 0. None where these two never come to agree: a zone that stops what stops it.
    """
    resting: frozenset[int] = frozenset()
    seen = {resting}
    while True:
        turning = _closure(edges, moved - resting, resting)
        held = frozenset(
            edge.driven for edge in edges if edge.driving in turning and not edge.root_rpm
        )
        if held == resting:
            firing = tuple(edge for edge in edges if edge.driving in turning)
            return Reach(turning, firing)
        if held in seen:
            return None
        seen.add(held)
        resting = held


def _closure(edges: Sequence[E], start: frozenset[int], resting: frozenset[int]) -> frozenset[int]:
    turning = set(start)
    grew = True
    while grew:
        grew = False
        for edge in edges:
            if edge.driving in turning and edge.root_rpm and edge.driven not in turning | resting:
                turning.add(edge.driven)
                grew = True
    return frozenset(turning)
