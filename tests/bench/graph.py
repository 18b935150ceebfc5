"""Couple, group, solve and judge a big mechanism; and what networkx takes for its bare graph.

``python -m tests.bench.graph SHAPE PARTS [--alone]`` prints one JSON object; ``--alone`` leaves
networkx out.
"""

from __future__ import annotations

import json
import resource
import sys
import time

import numpy as np

from analyzer.base.policy import Policy
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.find import find_couplings
from analyzer.findings.judge import judge_audit
from analyzer.networks.group import group_networks
from analyzer.networks.small_graphs import FEW_EDGES
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Scan
from analyzer.solution.solve import solve_networks
from tests.bench.shapes import SHAPES, parts_of, scan_of


def couple_to_findings(scan: Scan, parts: Parts) -> Couplings:
    """Run the stages from the positions to the findings."""
    couplings = find_couplings(parts, scan.coverage)
    networks = group_networks(parts, couplings)
    solution = solve_networks(parts, couplings, networks, Policy())
    selected = np.ones(len(networks), bool)
    judge_audit(scan, parts, couplings, networks, solution, Policy(), selected)
    return couplings


def networkx_seconds(couplings: Couplings) -> float:
    """Build the ready edge list into a graph, find its components, walk each breadth first."""
    import networkx as nx

    edges = list(zip(couplings.a.tolist(), couplings.b.tolist(), strict=True))
    start = time.perf_counter()
    graph = nx.Graph()
    graph.add_edges_from(edges)
    for component in list(nx.connected_components(graph)):
        for _ in nx.bfs_edges(graph, min(component)):
            pass
    return time.perf_counter() - start


def main(shape: str, parts: str, *options: str) -> None:
    """Measure one shape."""
    # What is imported where it is used shall not be counted; smaller graphs need no library.
    small = scan_of(SHAPES[shape](2 * FEW_EDGES))
    couple_to_findings(small, parts_of(small))
    scan = scan_of(SHAPES[shape](int(parts)))
    table = parts_of(scan)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start = time.perf_counter()
    couplings = couple_to_findings(scan, table)
    own = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    result = {
        "parts": len(table),
        "couplings": len(couplings),
        "seconds": own,
        "bytes_per_part": (peak - before) * 1024 / len(table),
    }
    if "--alone" not in options:
        result["networkx_seconds"] = networkx_seconds(couplings)
    print(json.dumps(result))


if __name__ == "__main__":
    main(*sys.argv[1:])
