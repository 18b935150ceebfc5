"""Making a gain graph smaller without changing what it weighs to balance it by edges.

Vertices with one edge lie on no loop. Of two edges that meet at a vertex with no third one the
lighter goes, if one has to: they become one edge. Edges between the same two vertices with one
gain stay or go together: they become one edge that weighs their sum.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from analyzer.advice.removal.gain_graph import Gains, Twisted, with_neighbours


@dataclass(frozen=True)
class Bundle:
    """An edge of a smaller graph: what it stands for if it is removed."""

    u: int
    v: int
    gain: int
    weight: int
    members: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Reduced:
    """A smaller graph.

    Parameters
    ----------
    bundles
        Its edges, in order of what they stand for; vertices as in the graph.
    forced
        Edges that have to go in any case, and their weight: loops by themselves.
    forced_weight
        Their weight.
    """

    bundles: tuple[Bundle, ...]
    forced: tuple[int, ...]
    forced_weight: int


def reduce_edges(graph: Twisted, weights: Sequence[int]) -> Reduced:
    """Return a smaller graph whose lightest removals stand for lightest removals of a graph."""
    work = _Work(graph.gains, len(graph.neighbours))
    for number, (u, v, gain) in enumerate(graph.edges):
        work.add(Bundle(u, v, gain, weights[number], (number,)))
    work.run()
    bundles = {id(one): one for near in work.around for one in near}
    return Reduced(
        bundles=tuple(sorted(bundles.values(), key=lambda one: one.members)),
        forced=tuple(sorted(work.forced)),
        forced_weight=work.forced_weight,
    )


def graph_of(bundles: Sequence[Bundle], gains: Gains) -> tuple[Twisted, list[int]]:
    """Return a graph of some bundles with vertices numbered afresh, and the bundles' weights."""
    names = sorted({vertex for one in bundles for vertex in (one.u, one.v)})
    place = {vertex: number for number, vertex in enumerate(names)}
    edges = [(place[one.u], place[one.v], one.gain) for one in bundles]
    return with_neighbours(len(names), edges, gains), [one.weight for one in bundles]


class _Work:
    def __init__(self, gains: Gains, vertices: int) -> None:
        self._gains = gains
        self.around: list[list[Bundle]] = [[] for _ in range(vertices)]
        self.forced: list[int] = []
        self.forced_weight = 0
        self._waiting = list(range(vertices))

    def add(self, bundle: Bundle) -> None:
        """Add an edge, joined with those of the same gain between the same vertices."""
        if bundle.u == bundle.v:
            if bundle.gain:
                self.forced += bundle.members
                self.forced_weight += bundle.weight
            return
        for other in self.around[bundle.u]:
            if {other.u, other.v} == {bundle.u, bundle.v}:
                same = bundle if other.u == bundle.u else self._turned(bundle)
                if same.gain == other.gain:
                    self._drop(other)
                    members = tuple(sorted(other.members + bundle.members))
                    bundle = Bundle(
                        other.u, other.v, other.gain, other.weight + bundle.weight, members
                    )
                    break
        self.around[bundle.u].append(bundle)
        self.around[bundle.v].append(bundle)

    def run(self) -> None:
        """Make the graph as small as this goes."""
        while self._waiting:
            vertex = self._waiting.pop()
            near = self.around[vertex]
            if len(near) == 1:
                (one,) = near
                self._drop(one)
                self._waiting += [one.u, one.v]
            elif len(near) == 2:
                first, second = near
                into = first if first.v == vertex else self._turned(first)
                out = second if second.u == vertex else self._turned(second)
                lighter = min(first, second, key=lambda one: (one.weight, one.members))
                self._drop(first)
                self._drop(second)
                gain = self._gains.times(into.gain, out.gain)
                self.add(Bundle(into.u, out.v, gain, lighter.weight, lighter.members))
                self._waiting += [into.u, out.v]

    def _turned(self, one: Bundle) -> Bundle:
        return Bundle(one.v, one.u, self._gains.inverse(one.gain), one.weight, one.members)

    def _drop(self, one: Bundle) -> None:
        for vertex in (one.u, one.v):
            self.around[vertex] = [other for other in self.around[vertex] if other is not one]
