"""What every part alone drives: the parts that no mover reaches without it."""

from __future__ import annotations

import numpy as np

from analyzer.couplings.engage import Engaged
from analyzer.findings.audit import Audit


def last_needed(audit: Audit, engaged: Engaged) -> tuple[dict[int, int], frozenset[int]]:
    """Return the part before each part without which no mover drives it, and what joins movers.

    Parameters
    ----------
    audit
        An audit of whole networks.
    engaged
        Which of its couplings are engaged.

    Returns
    -------
    needed, between
        For each part that some mover drives, the last part, on any way from a mover, without which
        it would stand still: -1 where there is none. In order from the movers on. And the parts
        without which two active movers would be in different networks.

    Notes
    -----
    Dominators of the graph in which turning spreads from the movers: both ways through couplings,
    one way through governors (T. Lengauer, R. E. Tarjan, *A fast algorithm for finding dominators
    in a flowgraph*, ACM TOPLAS 1 (1979) 121-141; cited from memory).
    """
    import networkx as nx

    couplings, governed = audit.couplings, audit.couplings.governed
    here = np.flatnonzero(engaged.couplings)
    pairs = list(zip(couplings.a[here].tolist(), couplings.b[here].tolist(), strict=True))
    held = np.flatnonzero(engaged.governed & governed.drives)
    oneway = list(zip(governed.part[held].tolist(), governed.other[held].tolist(), strict=True))
    movers = np.flatnonzero(audit.solution.active).tolist()
    flow = nx.DiGraph()
    flow.add_edges_from(pairs)
    flow.add_edges_from((b, a) for a, b in pairs)
    flow.add_edges_from(oneway)
    flow.add_edges_from((-1, mover) for mover in movers)
    if -1 not in flow:
        return {}, frozenset()
    above = nx.immediate_dominators(flow, -1)
    order = nx.bfs_tree(flow, -1)
    needed = {part: int(above[part]) for part in order if part >= 0}
    graph = nx.Graph([*pairs, *oneway])
    return needed, _between(graph, movers) if len(movers) > 1 else frozenset()


def _between(graph: object, movers: list[int]) -> frozenset[int]:
    """Return the parts whose removal parts the movers from each other."""
    import networkx as nx

    assert isinstance(graph, nx.Graph)
    found = set()
    blocks = list(nx.biconnected_components(graph))
    cuts = set(nx.articulation_points(graph))
    # The tree of blocks and cut parts; a cut part lies between where movers lie in two branches.
    tree = nx.Graph()
    for number, block in enumerate(blocks):
        tree.add_edges_from((("block", number), ("part", part)) for part in block & cuts)
    home = {part: number for number, block in enumerate(blocks) for part in block - cuts}
    marked = {
        ("part", mover) if mover in cuts else ("block", home[mover])
        for mover in movers
        if mover in cuts or mover in home
    }
    counts = {
        ("part", mover) if mover in cuts else ("block", home.get(mover, -1)): 0 for mover in movers
    }
    for mover in movers:
        counts[("part", mover) if mover in cuts else ("block", home.get(mover, -1))] += 1
    if not marked:
        return frozenset()
    root = min(marked)
    order = list(nx.dfs_preorder_nodes(tree, root)) if root in tree else [root]
    parent = dict(nx.dfs_predecessors(tree, root)) if root in tree else {}
    below = {node: counts.get(node, 0) for node in order}
    for node in reversed(order):
        if node in parent:
            below[parent[node]] += below[node]
    total = below[root]
    for node in order:
        if node[0] != "part":
            continue
        branches = [below[child] for child in tree[node] if parent.get(child) == node]
        branches.append(total - below[node])
        if sum(branch > 0 for branch in branches) > 1:
            found.add(int(node[1]))
    return frozenset(found)
