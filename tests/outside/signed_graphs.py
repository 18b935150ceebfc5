"""Signed graphs, and the fewest edges without which one is balanced, by plain enumeration.

An edge is (one vertex, another, +1 or -1). Balanced: the vertices fall into two sides so that an
edge is positive just if it stays on one side (F. Harary, *On the notion of balance of a signed
graph*, 1953). So every way of taking sides leaves some edges in the wrong; the least number of
these is the fewest whose removal balances the graph. Nothing here knows the tool.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, product
from typing import TypeAlias

import networkx as nx
import numpy as np

Edge: TypeAlias = tuple[int, int, int]


def frustrations(edges: Sequence[Edge]) -> np.ndarray:
    """Return how many edges are in the wrong for each way of taking sides, shape (2^(n-1),).

    In the way with number k vertex v stands where bit v of k says; the last vertex stands at 0,
    since only who stands together counts.
    """
    vertices = max(max(u, v) for u, v, _ in edges) + 1
    sides = np.arange(2 ** (vertices - 1), dtype=np.uint32)
    wrong = np.zeros(len(sides), np.uint8)
    for u, v, sign in edges:
        wrong += (((sides >> u) ^ (sides >> v)) & 1 == (sign > 0)).astype(np.uint8)
    return wrong


def fewest(edges: Sequence[Edge]) -> int:
    """Return the fewest edges without which the graph is balanced."""
    return int(frustrations(edges).min())


def smallest_sets(edges: Sequence[Edge]) -> list[frozenset[int]]:
    """Return every smallest set of edges, by number, without which the graph is balanced."""
    wrong = frustrations(edges)
    found = {
        frozenset(
            number
            for number, (u, v, sign) in enumerate(edges)
            if (((int(sides) >> u) ^ (int(sides) >> v)) & 1 == (sign > 0))
        )
        for sides in np.flatnonzero(wrong == wrong.min())
    }
    return sorted(found, key=sorted)


def all_negative(graph: nx.Graph) -> list[Edge]:
    """Return the edges of a graph, all negative, with vertices numbered in their order."""
    number = {vertex: row for row, vertex in enumerate(graph)}
    return sorted(
        (min(number[u], number[v]), max(number[u], number[v]), -1) for u, v in graph.edges
    )


def negated(edges: Iterable[tuple[int, int]], negative: Iterable[tuple[int, int]]) -> list[Edge]:
    """Sign a graph: the edges named are negative."""
    minus = set(negative)
    return [(u, v, -1 if (u, v) in minus else 1) for u, v in edges]


def generalised_petersen(n: int, k: int) -> list[tuple[int, int]]:
    """Return P(n, k): an outer ring, spokes, and inner vertices joined to the k-th from each."""
    outer = [(i, (i + 1) % n) for i in range(n)]
    spokes = [(i, n + i) for i in range(n)]
    inner = [(n + i, n + (i + k) % n) for i in range(n)]
    return sorted({(min(e), max(e)) for e in (*outer, *spokes, *inner)})


def switching_classes(edges: Sequence[tuple[int, int]]) -> Iterator[list[Edge]]:
    """Yield one signing of each class of a connected graph: positive along a spanning tree.

    Two signings belong to one class where switching (the opposite sign for all edges at a vertex)
    makes one of the other; it changes no loop's sign.
    """
    tree = set(map(tuple, map(sorted, nx.bfs_edges(nx.Graph(edges), edges[0][0]))))
    free = [edge for edge in edges if edge not in tree]
    for signs in product((1, -1), repeat=len(free)):
        yield negated(edges, (edge for edge, sign in zip(free, signs, strict=True) if sign < 0))


def bipartite(columns: Sequence[Sequence[int]]) -> list[Edge]:
    """Return a signed complete bipartite graph: signs of the edges from each right vertex."""
    left = len(columns[0])
    return [
        (row, left + number, sign)
        for number, column in enumerate(columns)
        for row, sign in enumerate(column)
    ]


def sign_patterns(length: int) -> list[tuple[int, ...]]:
    """Return the rows of signs that begin with +; switching its vertex begins any so."""
    return [(1, *rest) for rest in product((1, -1), repeat=length - 1)]


def truncated(graph: nx.Graph) -> nx.Graph:
    """Cut off every corner of a polyhedron all of whose faces are triangles.

    What is left of an edge are two vertices, one near each end. Near a corner, those of two edges
    are joined that lie on one face.
    """
    cut = nx.Graph()
    for u, v in graph.edges:
        cut.add_edge((u, v), (v, u))
    for u in graph:
        cut.add_edges_from(
            ((u, v), (u, w)) for v, w in combinations(graph[u], 2) if graph.has_edge(v, w)
        )
    return cut
