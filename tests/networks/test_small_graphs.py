"""The plain search of small graphs, held against scipy's of large ones."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.networks import components
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


@settings(max_examples=200, deadline=None, derandomize=True)
@given(graphs)
def test_small_and_large_graphs_are_searched_alike(
    graph: tuple[int, list[tuple[int, int]]],
) -> None:
    small = searched(*graph)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(components, "FEW_EDGES", -1)
        assert searched(*graph) == small


def test_a_long_chain_and_a_star_are_searched_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    count = 3000
    order = np.random.default_rng(5).permutation(count)
    chain = [(int(order[n]), int(order[n + 1])) for n in range(count - 1)]
    star = [(int(order[0]), int(node)) for node in order[1:]]
    small = [searched(count, chain), searched(count, star)]
    monkeypatch.setattr(components, "FEW_EDGES", -1)
    assert [searched(count, chain), searched(count, star)] == small
