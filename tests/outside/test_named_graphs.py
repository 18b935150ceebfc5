"""Gears in mesh along the edges of solids and other named graphs."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import networkx as nx
import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from tests.outside.removals import assert_free, hold_against, locked, solved, without
from tests.outside.signed_graphs import Edge, all_negative, truncated
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Consistency: the fewest couplings to remove"
D11 = Check(
    SUBJECT,
    "D11",
    "equal gears in mesh along the edges of dodecahedron, icosahedron, octahedron, tetrahedron,"
    " truncated tetrahedron, Petersen graph, cube, Heawood graph, Desargues graph",
    "6, 10, 4, 2, 4, 3, 0, 0, 0",
    Source(
        Evidence.COMPUTED, "enumeration of all ways to take sides (F. Harary 1953), by the test"
    ),
)
C60 = Check(
    SUBJECT,
    "D11 C60",
    "equal gears in mesh along the edges of the truncated icosahedron",
    "12",
    Source(
        Evidence.MEMORY,
        "T. Došlić, D. Vukičević, Computing the bipartite edge frustration of fullerene graphs,"
        " 2007; found again by the HiGHS solver and bounded by the 12 pentagons",
    ),
)
NAMED = [
    (nx.dodecahedral_graph(), 6),
    (nx.icosahedral_graph(), 10),
    (nx.octahedral_graph(), 4),
    (nx.tetrahedral_graph(), 2),
    (nx.truncated_tetrahedron_graph(), 4),
    (nx.petersen_graph(), 3),
    (nx.cubical_graph(), 0),
    (nx.heawood_graph(), 0),
    (nx.desargues_graph(), 0),
]


@checked(D11)
@pytest.mark.parametrize(("graph", "number"), NAMED)
def test_gears_in_mesh_along_the_edges_of_a_named_graph(graph: nx.Graph, number: int) -> None:
    hold_against(all_negative(graph), number)


@checked(C60)
def test_gears_in_mesh_along_the_edges_of_a_truncated_icosahedron() -> None:
    assert nx.is_isomorphic(truncated(nx.tetrahedral_graph()), nx.truncated_tetrahedron_graph())
    edges = all_negative(truncated(nx.icosahedral_graph()))
    assert len(edges) == 90
    pentagons = [set(ring) for ring in nx.simple_cycles(nx.Graph(e[:2] for e in edges), 5)]
    # Each of these odd rings needs an edge of its own.
    assert len(pentagons) == 12
    assert len(set.union(*pentagons)) == 60
    removed = _by_program(edges, pentagons)
    assert len(removed) == 12
    gains = [(u, v, Fraction(sign)) for u, v, sign in edges]
    assert locked(solved(gains))
    assert_free(gains, removed)
    for kept in removed:
        assert locked(solved(without(gains, set(removed) - {kept})))


def _by_program(edges: Sequence[Edge], odd_rings: Sequence[set[int]]) -> list[int]:
    """Return a smallest set of negative edges that lie within a side, by integer programming.

    Unknown are the sides x (0 or 1) and which edges y go: y ≥ 1 - x_u - x_v, y ≥ x_u + x_v - 1.
    """
    vertices = max(v for _, v, _ in edges) + 1
    rows, least = [], []
    for number, (u, v, _) in enumerate(edges):
        for sign, bound in ((1, 1), (-1, -1)):
            row = np.zeros(vertices + len(edges))
            row[[u, v]], row[vertices + number] = sign, 1
            rows.append(row)
            least.append(bound)
    for ring in odd_rings:
        row = np.zeros(vertices + len(edges))
        row[[vertices + n for n, (u, v, _) in enumerate(edges) if {u, v} <= ring]] = 1
        rows.append(row)
        least.append(1)
    cost = np.concatenate([np.zeros(vertices), np.ones(len(edges))])
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), lb=np.array(least)),
        integrality=np.ones(len(cost)),
        bounds=Bounds(0, 1),
    )
    assert found.success
    return [number for number, y in enumerate(found.x[vertices:]) if y > 0.5]
