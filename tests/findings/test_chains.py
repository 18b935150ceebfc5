"""The chains that prove findings, held against every chain that a plain search finds."""

from __future__ import annotations

import random

import networkx as nx
import pytest

from analyzer.findings.chain import Chain
from analyzer.findings.graph import Neighbours
from analyzer.findings.loops import canonical, close_loop
from analyzer.findings.paths import shortest_path


def graph_of(rng: random.Random) -> tuple[nx.Graph, Neighbours, list[tuple[int, int]]]:
    """Return a random graph, and who is coupled to whom by which coupling."""
    graph = nx.gnm_random_graph(rng.randint(2, 14), rng.randint(1, 20), seed=rng.randint(0, 10**9))
    pairs = sorted(graph.edges)
    neighbours: Neighbours = {}
    for number, (a, b) in enumerate(pairs):
        neighbours.setdefault(a, []).append((b, number))
        neighbours.setdefault(b, []).append((a, number))
    return graph, neighbours, pairs


@pytest.mark.parametrize("seed", range(300))
def test_a_path_between_different_wishes_is_one_of_the_shortest(seed: int) -> None:
    rng = random.Random(f"paths {seed}")
    graph, neighbours, pairs = graph_of(rng)
    askers = rng.sample(sorted(graph), rng.randint(2, min(5, len(graph))))
    wants = {part: rng.choice("ab") for part in askers}
    lengths = [
        nx.shortest_path_length(graph, one, other)
        for one in askers
        for other in askers
        if wants[one] != wants[other] and nx.has_path(graph, one, other)
    ]
    path = shortest_path(neighbours, wants)
    if path is None:
        assert not lengths
        return
    assert path.kind == "path"
    assert len(path.couplings) == min(lengths)
    steps = [tuple(sorted(step)) for step in zip(path.parts, path.parts[1:], strict=False)]
    assert [pairs[number] for number in path.couplings] == steps
    assert wants[path.parts[0]] != wants[path.parts[-1]]
    assert path.parts[0] < path.parts[-1]


def test_of_shortest_paths_the_one_that_is_met_first_is_given() -> None:
    # Both 0-2 and 1-2 are one step; the parts come in order of position.
    neighbours: Neighbours = {0: [(2, 0)], 1: [(2, 1)], 2: [(0, 0), (1, 1)]}
    path = shortest_path(neighbours, {0: "a", 1: "a", 2: "b"})
    assert path is not None
    assert (path.parts, path.couplings) == ((0, 2), (0,))


def test_what_two_trails_share_is_no_part_of_their_loop() -> None:
    left = [(7, 4), (5, 2), (3, 1), (0, -1)]
    right = [(8, 6), (6, 5), (3, 1), (0, -1)]
    assert close_loop(left, right, 9) == Chain("loop", (3, 5, 7, 8, 6), (2, 4, 9, 6, 5))
    assert close_loop(left[1:], left[2:], 9) == Chain("loop", (3, 5), (2, 9))
    assert close_loop([(0, -1)], right, 9) == Chain("loop", (0, 8, 6, 3), (9, 6, 5, 1))


@pytest.mark.parametrize("shortest", [True, False])
def test_a_loop_starts_at_its_smallest_part_and_towards_the_smaller_neighbour(shortest) -> None:
    expected = Chain("loop", (1, 3, 8, 5), (11, 12, 13, 14), shortest)
    for start in range(4):
        parts = expected.parts[start:] + expected.parts[:start]
        couplings = expected.couplings[start:] + expected.couplings[:start]
        assert canonical(Chain("loop", parts, couplings), shortest=shortest) == expected
        backwards = Chain("loop", parts[:1] + parts[:0:-1], couplings[::-1])
        assert canonical(backwards, shortest=shortest) == expected


@pytest.mark.parametrize("couplings", [(3, 4), (4, 3)])
def test_a_loop_of_two_parts_starts_along_its_smaller_coupling(couplings) -> None:
    for parts in ((2, 6), (6, 2)):
        loop = canonical(Chain("loop", parts, couplings), shortest=True)
        assert (loop.parts, loop.couplings) == ((2, 6), (3, 4))
