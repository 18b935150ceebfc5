"""Gain graphs: parts as vertices, couplings as edges that carry a ratio."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

#: One vertex, another, and the gain from the first to the second: nonzero.
Edge: TypeAlias = tuple[int, int, Fraction]

#: How it is known that no smaller set exists; see `analyzer.advice.advice.Proof`.
By: TypeAlias = Literal["count", "enumeration", "program", "loops", "none"]


@dataclass(frozen=True)
class Removal:
    """What to remove so that every loop is balanced.

    Parameters
    ----------
    removed
        Numbers of the edges or vertices, ascending.
    weight
        Sum of their weights.
    bound
        No set that does as well weighs less.
    by
        How that is known.
    """

    removed: tuple[int, ...]
    weight: int
    bound: int
    by: By

    @property
    def least(self) -> bool:
        """Whether nothing smaller exists."""
        return self.weight == self.bound


class Gains:
    """Gains numbered, so that products are looked up; 1 has number 0."""

    def __init__(self) -> None:
        self._values = [Fraction(1)]
        self._numbers = {Fraction(1): 0}
        self._products: dict[tuple[int, int], int] = {}

    def number(self, gain: Fraction) -> int:
        """Return the number of a gain."""
        found = self._numbers.setdefault(gain, len(self._values))
        if found == len(self._values):
            self._values.append(gain)
        return found

    def times(self, left: int, right: int) -> int:
        """Return the number of a product."""
        if not left or not right:
            return left or right
        known = self._products.get((left, right))
        if known is None:
            known = self.number(self._values[left] * self._values[right])
            self._products[left, right] = known
        return known

    def inverse(self, gain: int) -> int:
        """Return the number of an inverse."""
        return self.number(1 / self._values[gain]) if gain else 0

    def value(self, number: int) -> Fraction:
        """Return a gain."""
        return self._values[number]


@dataclass(frozen=True, eq=False)
class Twisted:
    """A graph switched so that most edges have gain 1.

    Parameters
    ----------
    edges
        (vertex, vertex, gain's number); loops multiply to what they did before.
    neighbours
        (other vertex, edge, gain towards it) of each vertex.
    gains
        What the numbers stand for.
    """

    edges: tuple[tuple[int, int, int], ...]
    neighbours: tuple[tuple[tuple[int, int, int], ...], ...]
    gains: Gains


def twisted(vertices: int, edges: Sequence[Edge]) -> Twisted:
    """Switch a graph along a spanning forest: the gains of its edges become 1.

    Switching by a vertex's potential changes no product round a loop (T. Zaslavsky, *Biased graphs
    I*, J. Combin. Theory Ser. B 47 (1989) 32-52; cited from memory).

    Parameters
    ----------
    vertices
        How many there are.
    edges
        Edges between them; none gives a graph without any.

    Raises
    ------
    ValueError
        Where a gain is zero.
    """
    if not all(gain for _, _, gain in edges):
        raise ValueError("a gain is zero")
    potential = potentials(vertices, edges)
    gains = Gains()
    switched = []
    for u, v, gain in edges:
        switched.append((u, v, gains.number(gain * potential[u] / potential[v])))
    return with_neighbours(vertices, switched, gains)


def potentials(vertices: int, edges: Sequence[Edge]) -> list[Fraction]:
    """Multiply the gains along a spanning forest: 1 at its roots, nonzero everywhere."""
    around: list[list[tuple[int, int]]] = [[] for _ in range(vertices)]
    for number, (u, v, _) in enumerate(edges):
        around[u].append((v, number))
        around[v].append((u, number))
    potential: list[Fraction | None] = [None] * vertices
    for root in range(vertices):
        if potential[root] is None:
            potential[root] = Fraction(1)
            _spread(root, around, edges, potential)
    return [value or Fraction(1) for value in potential]


def with_neighbours(vertices: int, edges: Sequence[tuple[int, int, int]], gains: Gains) -> Twisted:
    """Return a graph of edges with numbered gains."""
    neighbours: list[list[tuple[int, int, int]]] = [[] for _ in range(vertices)]
    for number, (u, v, gain) in enumerate(edges):
        neighbours[u].append((v, number, gain))
        neighbours[v].append((u, number, gains.inverse(gain)))
    return Twisted(tuple(edges), tuple(map(tuple, neighbours)), gains)


def _spread(
    root: int,
    around: Sequence[Sequence[tuple[int, int]]],
    edges: Sequence[Edge],
    potential: list[Fraction | None],
) -> None:
    queue = [root]
    for here in queue:
        base = potential[here]
        assert base is not None
        for other, number in around[here]:
            if potential[other] is None:
                u, _, gain = edges[number]
                potential[other] = base * gain if u == here else base / gain
                queue.append(other)
