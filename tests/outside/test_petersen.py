"""Couplings along the edges of the Petersen graph and its relatives, in every essential signing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import combinations

import networkx as nx
import pytest

from tests.outside.removals import hold_against, locked, solved
from tests.outside.signed_graphs import (
    Edge,
    fewest,
    generalised_petersen,
    negated,
    switching_classes,
)
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Consistency: the fewest couplings to remove"
D6 = Check(
    SUBJECT,
    "D6",
    "signings of the Petersen graph that the tool tells apart, up to the graph's symmetries",
    "6",
    Source(
        Evidence.PUBLISHED,
        "T. Zaslavsky, Six signed Petersen graphs, and their automorphisms (abstract)",
        "core.ac.uk/display/21455733",
    ),
)
D7 = Check(
    SUBJECT,
    "D7",
    "the worst signing of the Petersen graph",
    "3",
    Source(
        Evidence.PUBLISHED,
        "D. Sehrawat, B. Bhattacharjya, Maximum frustration in signed generalized Petersen graphs,"
        " arXiv 1905.05548: ⌊n/2⌋ + 1, reached for k = 1, 2, 3",
        "tomesphere.com/paper/1905.05548",
    ),
)
D8 = Check(
    SUBJECT,
    "D8",
    "the worst signings of P(3, 1), P(4, 1), P(5, 1), P(6, 1), P(7, 2)",
    "2, 3, 3, 4, 4",
    D7.source,
)
D9 = Check(
    SUBJECT,
    "D9",
    "six signings of the Petersen graph, no two of one kind, and two more with three and two"
    " negative edges, of which all but two and one can be switched away",
    "0, 1, 2, 2, 3, 3; 2, 1; negative rings of five: 0, 4, 6, 8, 6, 12; 6, 4 of 12",
    Source(Evidence.COMPUTED, "enumeration of all ways to take sides, by the test"),
)
PETERSEN = [(u, v) for u, v in nx.petersen_graph().edges]
# n and k of P(n, k), and what its worst signing takes.
GENERALISED = [
    (5, 2, 3, D7),
    (3, 1, 2, D8),
    (4, 1, 3, D8),
    (5, 1, 3, D8),
    (6, 1, 4, D8),
    (7, 2, 4, D8),
]
# Negative edges, the fewest to remove, and how many rings of five are negative.
SIGNINGS: list[tuple[Sequence[tuple[int, int]], int, int]] = [
    ([], 0, 0),
    ([(0, 4)], 1, 4),
    ([(6, 8), (3, 4)], 2, 6),
    ([(6, 8), (0, 4)], 2, 8),
    ([(6, 8), (3, 4), (0, 1)], 3, 6),
    ([(6, 8), (0, 4), (2, 7)], 3, 12),
    (PETERSEN, 3, 12),
    # Who counts negative edges is caught by these two.
    ([(6, 8), (3, 4), (0, 5)], 2, 6),
    ([(6, 8), (6, 9)], 1, 4),
]


@pytest.mark.parametrize(
    ("n", "k", "number"),
    [pytest.param(*row, marks=checked(check)) for *row, check in GENERALISED],
)
def test_the_worst_signing_of_a_generalised_petersen_graph(n: int, k: int, number: int) -> None:
    assert number == n // 2 + 1
    hold_against(max(switching_classes(generalised_petersen(n, k)), key=fewest), number)


@checked(D9)
@pytest.mark.parametrize(("negative", "number", "rings_of_five"), SIGNINGS)
def test_a_signing_of_the_petersen_graph_locks_until_so_many_couplings_are_gone(
    negative: Sequence[tuple[int, int]], number: int, rings_of_five: int
) -> None:
    edges = negated(PETERSEN, negative)
    hold_against(edges, number)
    signs = {frozenset((u, v)): (u, v, Fraction(sign)) for u, v, sign in edges}
    rings = [
        [signs[frozenset(step)] for step in zip(ring, ring[1:] + ring[:1], strict=True)]
        for ring in nx.simple_cycles(nx.petersen_graph(), 5)
    ]
    assert len(rings) == 12
    assert sum(locked(solved(_numbered(ring))) for ring in rings) == rings_of_five


def _numbered(gains: Sequence[tuple[int, int, Fraction]]) -> list[tuple[int, int, Fraction]]:
    """Number the parts of some couplings anew, so that there are no others."""
    number = {
        part: row for row, part in enumerate(sorted({p for a, b, _ in gains for p in (a, b)}))
    }
    return [(number[a], number[b], ratio) for a, b, ratio in gains]


@checked(D6)
def test_the_petersen_graph_has_six_signings() -> None:
    """Vertices are pairs of five things and adjacent where disjoint: symmetries permute the five.

    Which couplings contradict the rest, along one spanning tree, is the same just for signings
    that can be switched into each other. A swap and a cycle generate all permutations.
    """
    pairs = [frozenset(pair) for pair in combinations(range(5), 2)]
    edges = [(u, v) for u, v in combinations(range(10), 2) if not pairs[u] & pairs[v]]
    kinds = nx.Graph()
    for signing in switching_classes(edges):
        here = _contradicted(signing)
        kinds.add_node(here)
        for permuted in (lambda n: {0: 1, 1: 0}.get(n, n), lambda n: (n + 1) % 5):
            kinds.add_edge(here, _contradicted(_carried(signing, pairs, permuted)))
    assert len(kinds) == 64
    sizes = Counter(map(len, nx.connected_components(kinds)))
    assert sorted(sizes.elements()) == [1, 1, 2, 15, 15, 30]


def _contradicted(edges: Sequence[Edge]) -> tuple[int, ...]:
    case = solved([(u, v, Fraction(sign)) for u, v, sign in edges])
    return tuple(case.networks.disagreeing.tolist())


def _carried(
    edges: Sequence[Edge], pairs: Sequence[frozenset[int]], permuted: Callable[[int], int]
) -> list[Edge]:
    goes = [pairs.index(frozenset(map(permuted, pair))) for pair in pairs]
    return [(min(goes[u], goes[v]), max(goes[u], goes[v]), sign) for u, v, sign in edges]
