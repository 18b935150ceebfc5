"""Loops that contradict themselves, found one after another without common edges or vertices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from analyzer.advice.removal.gain_graph import Twisted


@dataclass(frozen=True)
class Loop:
    """A loop by the numbers of its vertices and edges."""

    vertices: tuple[int, ...]
    edges: tuple[int, ...]


class Remainder:
    """What is left of a graph while edges and vertices are taken from it.

    Parameters
    ----------
    graph
        The graph as a whole.
    """

    def __init__(self, graph: Twisted) -> None:
        self._graph = graph
        self.edge_there = [True] * len(graph.edges)
        self.vertex_there = [True] * len(graph.neighbours)

    def clash(self) -> int | None:
        """Return an edge that contradicts a spanning forest of what is left; None if all agree."""
        found = self.clashes(first=True)
        return found[0] if found else None

    def clashes(self, *, first: bool = False) -> list[int]:
        """Return the edges that contradict a spanning forest of what is left, ascending."""
        times = self._graph.gains.times
        potential = [-1] * len(self._graph.neighbours)
        found: set[int] = set()
        for root, there in enumerate(self.vertex_there):
            if not there or potential[root] >= 0:
                continue
            potential[root] = 0
            queue = [root]
            for here in queue:
                base = potential[here]
                for other, edge, gain in self._graph.neighbours[here]:
                    if not self.edge_there[edge] or not self.vertex_there[other]:
                        continue
                    value = times(base, gain)
                    if potential[other] < 0:
                        potential[other] = value
                        queue.append(other)
                    elif potential[other] != value:
                        if first:
                            return [edge]
                        found.add(edge)
        return sorted(found)

    def short_loop(self, root: int) -> Loop | None:
        """Return the shortest unbalanced loop through a vertex that a search from it closes."""
        times = self._graph.gains.times
        potential, before, depth = {root: 0}, {root: (-1, -1)}, {root: 0}
        best: tuple[int, int, int, int] | None = None
        queue = [root]
        for here in queue:
            if best is not None and 2 * depth[here] >= best[0]:
                break
            base = potential[here]
            for other, edge, gain in self._graph.neighbours[here]:
                if not self.edge_there[edge] or not self.vertex_there[other]:
                    continue
                value = times(base, gain)
                if other not in potential:
                    potential[other], before[other] = value, (here, edge)
                    depth[other] = depth[here] + 1
                    queue.append(other)
                elif potential[other] != value:
                    length = depth[here] + depth[other] + 1
                    if best is None or length < best[0]:
                        best = (length, here, other, edge)
        return None if best is None else _closed(before, *best[1:])

    def iter_apart(self, *, by_vertex: bool, most: int) -> Iterator[Loop]:
        """Yield unbalanced loops without a common edge (or vertex), taking each away.

        Where no more than `most` are yielded, nothing unbalanced is left.
        """
        count = 0
        while count < most:
            clash = self.clash()
            if clash is None:
                return
            u, v, _ = self._graph.edges[clash]
            loops = [loop for loop in (self.short_loop(u), self.short_loop(v)) if loop]
            # The clashing edge lies on a loop that runs through its ends or past them.
            loop = min(loops, key=lambda one: len(one.edges)) if loops else self._any_loop()
            yield loop
            count += 1
            for edge in loop.edges:
                self.edge_there[edge] = False
            if by_vertex:
                for vertex in loop.vertices:
                    self.vertex_there[vertex] = False

    def _any_loop(self) -> Loop:
        for root, there in enumerate(self.vertex_there):
            found = self.short_loop(root) if there else None
            if found is not None:
                return found
        raise AssertionError("an edge clashes, so that some loop is unbalanced")


def _closed(before: dict[int, tuple[int, int]], u: int, v: int, edge: int) -> Loop:
    """Return the loop that an edge closes with a tree."""
    left, right = _trail(before, u), _trail(before, v)
    while len(left) > 1 and len(right) > 1 and left[-2][0] == right[-2][0]:
        left.pop()
        right.pop()
    vertices = [vertex for vertex, _ in left] + [vertex for vertex, _ in reversed(right[:-1])]
    edges = [step for _, step in left[:-1]] + [edge] + [step for _, step in right[:-1]]
    return Loop(tuple(vertices), tuple(edges))


def _trail(before: dict[int, tuple[int, int]], vertex: int) -> list[tuple[int, int]]:
    steps = []
    while vertex >= 0:
        parent, edge = before[vertex]
        steps.append((vertex, edge))
        vertex = parent
    return steps
