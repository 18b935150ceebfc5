"""The searches of small, shallow and large graphs, held against each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.networks import components, shallow_graphs
from analyzer.networks.components import label_components, spanning_forest

graphs = st.integers(1, 14).flatmap(
    lambda nodes: st.tuples(
        st.just(nodes),
        st.lists(st.tuples(st.integers(0, nodes - 1), st.integers(0, nodes - 1)), max_size=30),
    )
)


def searched(nodes: int, edges: list[tuple[int, int]]) -> tuple[list[int], ...]:
    a, b = np.array(edges, np.int64).reshape(-1, 2).T
    label, smallest = label_components(nodes, a, b)
    parent = spanning_forest(nodes, a, b, smallest)
    return label.tolist(), smallest.tolist(), parent.tolist()


def searched_by_each(nodes: int, edges: list[tuple[int, int]]) -> list[tuple[list[int], ...]]:
    """Search a graph as a small one, as one that may be shallow, and as a large one."""
    found = [searched(nodes, edges)]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(components, "FEW_EDGES", -1)
        found.append(searched(nodes, edges))
        patch.setattr(components, "MOST_EDGES", -1)
        found.append(searched(nodes, edges))
    return found


@settings(max_examples=200, deadline=None, derandomize=True)
@given(graphs)
def test_graphs_are_searched_alike(graph: tuple[int, list[tuple[int, int]]]) -> None:
    small, shallow, large = searched_by_each(*graph)
    assert small == shallow == large


@pytest.mark.parametrize("count", [150, 3000])
def test_a_long_chain_and_a_star_are_searched_alike(count: int) -> None:
    order = np.random.default_rng(5).permutation(count)
    chain = [(int(order[n]), int(order[n + 1])) for n in range(count - 1)]
    star = [(int(order[0]), int(node)) for node in order[1:]]
    for edges in (chain, star):
        small, shallow, large = searched_by_each(count, edges)
        assert small == shallow == large


def test_chains_are_shallow_up_to_a_length() -> None:
    for parts, shallow in ((199, True), (200, False)):
        nodes = np.arange(parts, dtype=np.int32)
        found = shallow_graphs.breadth_first_parents(parts, nodes[1:], nodes[:-1], nodes[:1])
        assert (found is not None) == shallow


def test_components_that_grow_too_slowly_are_left_to_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(shallow_graphs, "_MOST_ROUNDS", 1)
    a, b = np.array([0, 2, 1], np.int32), np.array([3, 3, 2], np.int32)
    assert shallow_graphs.first_of_component(4, a, b) is None
    assert searched_by_each(4, [(0, 3), (2, 3), (1, 2)])[1][1] == [0]
