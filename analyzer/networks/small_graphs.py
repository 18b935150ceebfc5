"""Components and spanning forests of graphs so small that a library would take longer to load."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

#: Edges up to which a graph is small: some 50 ms, where to load scipy's graphs takes 150.
FEW_EDGES: Final = 20_000


def first_of_component(nodes: int, a: Sequence[int], b: Sequence[int]) -> list[int]:
    """Return the smallest node of each node's component.

    Parameters
    ----------
    nodes
        Number of nodes; 0 gives an empty list.
    a, b
        The two nodes of each edge.

    Notes
    -----
    Disjoint sets, with paths halved (Tarjan and van Leeuwen 1984); a set's root is its smallest
    node.

    >>> first_of_component(5, [4, 1], [2, 4])
    [0, 1, 1, 3, 1]
    """
    above = list(range(nodes))

    def root(node: int) -> int:
        while above[node] != node:
            above[node] = node = above[above[node]]
        return node

    for one, other in zip(a, b, strict=True):
        low, high = root(one), root(other)
        if low > high:
            low, high = high, low
        above[high] = low
    return [root(node) for node in range(nodes)]


def breadth_first_parents(
    nodes: int, a: Sequence[int], b: Sequence[int], roots: Sequence[int]
) -> list[int]:
    """Return the node from which a breadth-first search found each node; -1 for the roots.

    It starts from all roots, ascending, and looks at a node's neighbours in ascending order.

    Parameters
    ----------
    nodes, a, b
        As of `first_of_component`.
    roots
        One node of each component.

    >>> breadth_first_parents(4, [0, 0, 3], [2, 1, 2], [0])
    [-1, 0, 0, 2]
    """
    beside: list[list[int]] = [[] for _ in range(nodes)]
    for one, other in zip(a, b, strict=True):
        beside[one].append(other)
        beside[other].append(one)
    parent = [-1] * nodes
    queue = sorted(roots)
    seen = bytearray(nodes)
    for node in queue:
        seen[node] = True
    for node in queue:
        for other in sorted(beside[node]):
            if not seen[other]:
                seen[other] = True
                parent[other] = node
                queue.append(other)
    return parent
