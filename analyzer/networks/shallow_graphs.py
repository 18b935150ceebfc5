"""Components and spanning forests of graphs in which no way is long, by array work.

Most builds of a world are small, however many there are of them, and then all are searched at
once, in less time than scipy's graphs take to be loaded (0.1 s). Where ways are longer than
expected the answer is None, and whoever asked searches otherwise.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

#: Edges up to which this takes less time than to load scipy's graphs.
MOST_EDGES: Final = 500_000
#: Rounds in which components grow together; each mostly leaves half of them at most.
_MOST_ROUNDS: Final = 32
#: Parts on the shortest way from a root, and one more, at some 50 µs each.
_MOST_LEVELS: Final = 200


def first_of_component(
    nodes: int, a: npt.NDArray[np.int32], b: npt.NDArray[np.int32]
) -> npt.NDArray[np.int32] | None:
    """Return the smallest node of each node's component, int32, shape (nodes,).

    Parameters
    ----------
    nodes
        Number of nodes.
    a, b
        The two nodes of each edge, shape (m,).

    Returns
    -------
    first
        None where components took too many rounds to grow together.

    Notes
    -----
    Each set of nodes is joined to the smallest one beside it, and then all ways to its first node
    are shortened to one step (Y. Shiloach and U. Vishkin, *An O(log n) parallel connectivity
    algorithm*, 1982; cited from memory).

    >>> first_of_component(5, np.array([4, 1]), np.array([2, 4])).tolist()
    [0, 1, 1, 3, 1]
    """
    first = np.arange(nodes, dtype=np.int32)
    for _ in range(_MOST_ROUNDS):
        of_a, of_b = first[a], first[b]
        apart = of_a != of_b
        if not apart.any():
            return first
        a, b, of_a, of_b = a[apart], b[apart], of_a[apart], of_b[apart]
        np.minimum.at(first, np.maximum(of_a, of_b), np.minimum(of_a, of_b))
        shorter = first[first]
        while not np.array_equal(shorter, first):
            first, shorter = shorter, shorter[shorter]
    return None


def breadth_first_parents(
    nodes: int,
    a: npt.NDArray[np.int32],
    b: npt.NDArray[np.int32],
    roots: npt.NDArray[np.int32],
) -> npt.NDArray[np.int32] | None:
    """Return the node from which a breadth-first search found each node, int32; -1 for the roots.

    It starts from all roots, ascending, and looks at a node's neighbours in ascending order.

    Parameters
    ----------
    nodes, a, b
        As of `first_of_component`.
    roots
        One node of each component, ascending.

    Returns
    -------
    parent
        None where some node is too far from its root.

    >>> breadth_first_parents(
    ...     4, np.array([0, 0, 3]), np.array([2, 1, 2]), np.array([0])
    ... ).tolist()
    [-1, 0, 0, 2]
    """
    tail, head = np.concatenate([a, b]), np.concatenate([b, a])
    head = head[np.argsort(tail.astype(np.int64) * nodes + head, kind="stable")]
    degree = np.bincount(tail, minlength=nodes)
    start = np.cumsum(degree) - degree
    unseen = np.ones(nodes, bool)
    unseen[roots] = False
    parent = np.full(nodes, -1, np.int32)
    place = np.empty(nodes, np.int32)
    front = roots
    for _ in range(_MOST_LEVELS):
        if not len(front):
            return parent
        count = degree[front]
        ends = np.cumsum(count)
        before = np.repeat(front, count)
        to = head[np.arange(len(before)) + np.repeat(start[front] - ends + count, count)]
        new = unseen[to]
        to, before = to[new], before[new]
        # Of several that lead to a node, the first counts: written last, it stays.
        number = np.arange(len(to), dtype=np.int32)
        place[to[::-1]] = number[::-1]
        found = place[to] == number
        front = to[found]
        parent[front] = before[found]
        unseen[front] = False
    return None
