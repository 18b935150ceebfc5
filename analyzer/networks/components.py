"""Connected components and spanning forests of large graphs, numbered without surprises."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analyzer.networks.small_graphs import (
    FEW_EDGES,
    breadth_first_parents,
    first_of_component,
)


def label_components(
    nodes: int, a: npt.NDArray[np.int32], b: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Label the connected components of an undirected graph.

    Parameters
    ----------
    nodes
        Number of nodes; 0 gives two empty arrays.
    a, b
        The two nodes of each edge, shape (m,).

    Returns
    -------
    label, smallest
        Component of each node, shape (nodes,), components numbered in order of their smallest
        node; and that smallest node of each, ascending.
    """
    joined = np.zeros(nodes, bool)
    joined[a] = joined[b] = True
    inner = np.flatnonzero(joined)
    # Most of a world's nodes have no edge of some kinds; only those with one are searched.
    number = np.cumsum(joined, dtype=np.int32) - 1
    first = np.arange(nodes)
    first[inner] = inner[_first_of_component(len(inner), number[a], number[b])]
    leads = first == np.arange(nodes)
    return (np.cumsum(leads) - 1)[first], np.flatnonzero(leads)


def _first_of_component(
    nodes: int, a: npt.NDArray[np.int32], b: npt.NDArray[np.int32]
) -> npt.NDArray[np.int64]:
    """Return the smallest node of each node's component."""
    if not nodes:
        return np.empty(0, np.int64)
    if len(a) <= FEW_EDGES:
        return np.array(first_of_component(nodes, a.tolist(), b.tolist()), np.int64)
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(len(a), np.int8), (a, b)), shape=(nodes, nodes)).tocsr()
    count, component = connected_components(graph, directed=False)
    smallest = np.empty(count, np.int64)
    smallest[component[::-1]] = np.arange(nodes - 1, -1, -1)
    first: npt.NDArray[np.int64] = smallest[component]
    return first


def spanning_forest(
    nodes: int,
    a: npt.NDArray[np.int32],
    b: npt.NDArray[np.int32],
    roots: npt.NDArray[np.int64],
) -> npt.NDArray[np.int64]:
    """Return a breadth-first spanning forest of an undirected graph.

    Parameters
    ----------
    nodes
        Number of nodes; 0 gives an empty array.
    a, b
        The two nodes of each edge, shape (m,).
    roots
        One node of each component.

    Returns
    -------
    parent
        The node before each node on the shortest way from its root, shape (nodes,); -1 for roots.

    Notes
    -----
    One search from an extra node that touches every root serves all components at once.
    """
    if not nodes:
        return np.empty(0, np.int64)
    if len(a) <= FEW_EDGES:
        found = breadth_first_parents(nodes, a.tolist(), b.tolist(), roots.tolist())
        return np.array(found, np.int64)
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import breadth_first_order

    # Numbers of 32 bits, of which the graph is made without another copy.
    tail = np.concatenate([a, b, np.full(len(roots), nodes)], dtype=np.int32, casting="same_kind")
    head = np.concatenate([b, a, roots], dtype=np.int32, casting="same_kind")
    graph = coo_array(
        (np.ones(len(tail), np.int8), (tail, head)), shape=(nodes + 1, nodes + 1)
    ).tocsr()
    graph.sort_indices()
    _, before = breadth_first_order(graph, nodes, directed=True, return_predecessors=True)
    parent: npt.NDArray[np.int64] = before[:nodes].astype(np.int64)
    parent[parent == nodes] = -1
    return parent
