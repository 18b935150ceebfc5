"""Connected components and spanning forests of large graphs, numbered without surprises."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from analyzer.networks import shallow_graphs, small_graphs
from analyzer.networks.shallow_graphs import MOST_EDGES
from analyzer.networks.small_graphs import FEW_EDGES

if TYPE_CHECKING:
    from scipy.sparse import csr_array


def label_components(
    nodes: int, a: npt.NDArray[np.int32], b: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int32]]:
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
        Component of each node, int32, shape (nodes,), components numbered in order of their
        smallest node; and that smallest node of each, int32, ascending.
    """
    if not len(a):
        every = np.arange(nodes, dtype=np.int32)
        return every, every
    if 2 * len(a) >= nodes:
        return _label(nodes, a, b)
    # Most of a world's nodes have no edge of some kinds; only those with one are searched.
    joined = np.zeros(nodes, bool)
    joined[a] = joined[b] = True
    inner = np.flatnonzero(joined)
    number = np.cumsum(joined, dtype=np.int32) - 1
    label, smallest = _label(len(inner), number[a], number[b])
    leads = ~joined
    leads[inner[smallest]] = True
    of_node = np.cumsum(leads, dtype=np.int32) - 1
    of_node[inner] = of_node[inner[smallest]][label]
    return of_node, np.flatnonzero(leads).astype(np.int32)


def _label(
    nodes: int, a: npt.NDArray[np.int32], b: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int32]]:
    """Label components as `label_components` does, searching all nodes."""
    first: npt.NDArray[np.int32] | None = None
    if len(a) <= FEW_EDGES:
        found = small_graphs.first_of_component(nodes, a.tolist(), b.tolist())
        first = np.array(found, np.int32)
    elif len(a) <= MOST_EDGES:
        first = shallow_graphs.first_of_component(nodes, a, b)
    if first is not None:
        leads = first == np.arange(nodes, dtype=np.int32)
        return (np.cumsum(leads, dtype=np.int32) - 1)[first], np.flatnonzero(leads).astype(np.int32)
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(len(a), np.int8), (a, b)), shape=(nodes, nodes)).tocsr()
    count, component = connected_components(graph, directed=False)
    smallest = np.empty(count, np.int32)
    smallest[component[::-1]] = np.arange(nodes - 1, -1, -1, dtype=np.int32)
    # That the library numbers them in this order too is not promised.
    order = np.argsort(smallest, kind="stable")
    rank = np.empty(count, np.int32)
    rank[order] = np.arange(count, dtype=np.int32)
    return rank[component], smallest[order]


def spanning_forest(
    nodes: int,
    a: npt.NDArray[np.int32],
    b: npt.NDArray[np.int32],
    roots: npt.NDArray[np.int32],
) -> npt.NDArray[np.int32]:
    """Return a breadth-first spanning forest of an undirected graph.

    Parameters
    ----------
    nodes
        Number of nodes; 0 gives an empty array.
    a, b
        The two nodes of each edge, shape (m,).
    roots
        One node of each component, ascending.

    Returns
    -------
    parent
        The node before each node on the shortest way from its root, int32, shape (nodes,); -1 for
        roots. Of several it is the one that the search meets first, neighbours ascending.

    Notes
    -----
    One search from an extra node that touches every root serves all components at once.
    """
    if len(a) <= FEW_EDGES:
        found = small_graphs.breadth_first_parents(nodes, a.tolist(), b.tolist(), roots.tolist())
        return np.array(found, np.int32)
    if len(a) <= MOST_EDGES:
        shallow = shallow_graphs.breadth_first_parents(nodes, a, b, roots)
        if shallow is not None:
            return shallow
    from scipy.sparse.csgraph import breadth_first_order

    # In this order a node's neighbours ascend where the edges do, and need not be sorted.
    graph = _arrows(nodes + 1, [b, a, np.full(len(roots), nodes, np.int32)], [a, b, roots])
    graph.sort_indices()
    _, parent = breadth_first_order(graph, nodes, directed=True, return_predecessors=True)
    found_parent: npt.NDArray[np.int32] = parent[:nodes]
    found_parent[found_parent == nodes] = -1
    return found_parent


def depth_first(parent: npt.NDArray[np.int32]) -> npt.NDArray[np.int32]:
    """Return the nodes of a forest in the order of a depth-first search.

    Parameters
    ----------
    parent
        The node before each node, shape (n,); -1 for roots.

    Returns
    -------
    order
        Every node, int32, each after its parent and most right after it.
    """
    from scipy.sparse.csgraph import depth_first_order

    nodes = len(parent)
    above = np.where(parent < 0, np.int32(nodes), parent)
    graph = _arrows(nodes + 1, [above], [np.arange(nodes, dtype=np.int32)])
    order: npt.NDArray[np.int32]
    order, _ = depth_first_order(graph, nodes, directed=True, return_predecessors=True)
    return order[1:]


def _arrows(
    nodes: int, tails: list[npt.NDArray[np.int32]], heads: list[npt.NDArray[np.int32]]
) -> csr_array:
    """Return a directed graph as scipy's search takes it: without another copy."""
    from scipy.sparse import coo_array

    tail, head = np.concatenate(tails), np.concatenate(heads)
    return coo_array((np.ones(len(tail), np.int8), (tail, head)), shape=(nodes, nodes)).tocsr()
