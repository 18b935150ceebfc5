"""The knots of a zone: its biconnected blocks in which a loop contradicts itself.

A loop lies within one biconnected block. The spanning tree of a zone, cut down to a block, is a
spanning tree of the block, so a block holds an unbalanced loop just if it holds a coupling that
disagrees with the potentials.

Source: T. Zaslavsky, *Biased graphs I*, J. Combin. Theory Ser. B 47 (1989) 32-52 (balance of gain
graphs; cited from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from analyzer.findings.case import Case
from analyzer.findings.chain import Chain
from analyzer.findings.graph import neighbours_of
from analyzer.findings.loops import LoopSearch, canonical, close_loop
from analyzer.findings.twist import Twists


@dataclass(frozen=True)
class Knot:
    """An unbalanced block: its parts by row, ascending, and its shortest unbalanced loop."""

    parts: tuple[int, ...]
    loop: Chain


def find_knots(case: Case, zone: int) -> list[Knot]:
    """Return the unbalanced blocks of a zone, in order of their loops.

    A zone without a disagreeing coupling has none. Cost: linear in the zone's couplings, and for
    each block the bound of `analyzer.findings.loops`.
    """
    disagreeing = case.disagreeing_by_zone[zone]
    twists = Twists(case.couplings, case.networks, disagreeing)
    knots = [
        Knot(parts, _shortest_loop(case, numbers, twists))
        for parts, numbers in _iter_unbalanced(case, zone)
    ]
    return sorted(knots, key=lambda knot: (knot.loop.parts, knot.loop.couplings))


def _iter_unbalanced(case: Case, zone: int) -> Iterator[tuple[tuple[int, ...], list[int]]]:
    """Yield parts and couplings, ascending, of each block that holds a disagreeing coupling."""
    # Few saves have a conflict, so most runs do without the graph library.
    import networkx as nx

    by_pair: dict[tuple[int, int], list[int]] = {}
    for number in case.couplings_by_zone[zone]:
        by_pair.setdefault(_pair(case, number), []).append(number)
    clashing = {_pair(case, number) for number in case.disagreeing_by_zone[zone]}
    graph = nx.Graph()
    graph.add_edges_from(by_pair)
    for edges in nx.biconnected_component_edges(graph):
        pairs = {(a, b) if a < b else (b, a) for a, b in edges}
        if not clashing.isdisjoint(pairs):
            parts = {part for pair in pairs for part in pair}
            yield tuple(sorted(parts)), sorted(n for pair in pairs for n in by_pair[pair])


def _shortest_loop(case: Case, numbers: list[int], twists: Twists) -> Chain:
    disagreeing = [number for number in numbers if number in twists.along]
    search = LoopSearch(neighbours_of(case.couplings, numbers), twists)
    found = search.run([_pair(case, number) for number in disagreeing])
    return found or _loop_of_tree(case, disagreeing[0])


def _loop_of_tree(case: Case, coupling: int) -> Chain:
    """Return the loop that a disagreeing coupling closes with the zone's spanning tree."""
    left, right = (_trail_in_tree(case, part) for part in _pair(case, coupling))
    return canonical(close_loop(left, right, coupling), shortest=False)


def _trail_in_tree(case: Case, part: int) -> list[tuple[int, int]]:
    steps = []
    while part >= 0:
        steps.append((part, int(case.networks.parent_coupling[part])))
        part = int(case.networks.parent[part])
    return steps


def _pair(case: Case, coupling: int) -> tuple[int, int]:
    return int(case.couplings.a[coupling]), int(case.couplings.b[coupling])
