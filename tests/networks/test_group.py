"""Grouping, held against networkx and plain fractions."""

from fractions import Fraction

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.networks import components, potentials
from analyzer.networks.group import group_networks
from tests.support.columns import columns_of
from tests.support.mechanism import SHAFT, couplings_table, parts_table

ratios = st.sampled_from([Fraction(r) for r in ("1", "-1", "2", "-1/2", "3/2", "-5/12", "7")])


@st.composite
def mechanisms(draw):
    count = draw(st.integers(1, 12))
    part = st.integers(0, count - 1)
    pairs = draw(
        st.lists(st.tuples(part, part).filter(lambda pair: pair[0] < pair[1]), max_size=20)
    )
    return count, [(a, b, draw(ratios)) for a, b in pairs]


def grouped(count, couplings, **more):
    table = couplings_table(couplings, **more)
    return table, group_networks(parts_table([SHAFT] * count), table)


@settings(deadline=None)
@given(mechanisms())
def test_networks_are_the_connected_components_in_order_of_their_smallest_member(mechanism):
    count, couplings = mechanism
    _, networks = grouped(count, couplings)
    graph = nx.MultiGraph((a, b) for a, b, _ in couplings)
    graph.add_nodes_from(range(count))
    expected = sorted(sorted(members) for members in nx.connected_components(graph))
    assert [networks.members(k).tolist() for k in range(len(networks))] == expected
    assert networks.anchor.tolist() == [members[0] for members in expected]


def count_as_large(patch):
    for module in (components, potentials):
        patch.setattr(module, "FEW_EDGES", -1)


def columns_grouped(mechanism):
    _, networks = grouped(*mechanism)
    tables = (networks, networks.governors, networks.potentials)
    return [
        {name: column.tolist() for name, (column, _) in columns_of(table).items()}
        for table in tables
    ]


@settings(deadline=None)
@given(mechanisms())
def test_a_world_is_grouped_alike_whether_its_graph_counts_as_small_or_as_large(mechanism):
    small = columns_grouped(mechanism)
    with pytest.MonkeyPatch.context() as patch:
        count_as_large(patch)
        assert columns_grouped(mechanism) == small


@pytest.mark.parametrize("back", [1, 3, 1000])
def test_a_large_tree_of_many_branches_is_grouped_as_a_small_one(back, monkeypatch):
    count, rng = 1000, np.random.default_rng(back)
    numbers = np.arange(count)
    rng.shuffle(numbers[back:])
    steps = [Fraction(r) for r in ("1", "-1", "2", "-3/2")]
    edges = []
    for node in range(1, count):
        ends = numbers[node], numbers[rng.integers(max(0, node - back), node)]
        edges.append((int(min(ends)), int(max(ends)), steps[rng.integers(len(steps))]))
    small = columns_grouped((count, sorted(edges)))
    count_as_large(monkeypatch)
    assert columns_grouped((count, sorted(edges))) == small


@settings(deadline=None)
@given(mechanisms())
def test_potentials_multiply_along_the_tree_and_disagreeing_couplings_are_the_rest(mechanism):
    count, couplings = mechanism
    table, networks = grouped(count, couplings)
    potential = [networks.potentials[index] for index in networks.potential.tolist()]
    assert all(potential[root] == 1 for root in networks.root.tolist())
    ratio = [table.ratios[index] for index in table.ratio.tolist()]
    clash = [
        number
        for number, (a, b) in enumerate(zip(table.a.tolist(), table.b.tolist(), strict=True))
        if potential[b] != potential[a] * ratio[number]
    ]
    assert networks.disagreeing.tolist() == clash
    assert not set(clash) & set(networks.parent_coupling.tolist())


@settings(deadline=None)
@given(mechanisms())
def test_the_spanning_forest_is_breadth_first(mechanism):
    count, couplings = mechanism
    _, networks = grouped(count, couplings)
    graph = nx.Graph((a, b) for a, b, _ in couplings)
    graph.add_nodes_from(range(count))
    for root in networks.root.tolist():
        for part, distance in nx.single_source_shortest_path_length(graph, root).items():
            steps, here = 0, part
            while here != root:
                here, steps = int(networks.parent[here]), steps + 1
            assert steps == distance


def test_a_long_line_of_doublings_has_exact_potentials():
    count = 3000
    _, networks = grouped(count, [(part, part + 1, Fraction(-2)) for part in range(count - 1)])
    assert networks.potentials[int(networks.potential[-1])] == Fraction(-2) ** (count - 1)


@pytest.mark.parametrize(("state", "expected"), [(-1, [0, 0, 1]), (0, [0, 0, 1]), (1, [0, 0, 0])])
def test_a_guarded_coupling_joins_only_in_its_state(state, expected):
    table = couplings_table([(0, 1, 1), (1, 2, 1)], guards=[-1, 1])
    parts = parts_table([SHAFT] * 3)
    networks = group_networks(parts, table, np.array([-1, state, -1], np.int8))
    assert networks.network.tolist() == expected


def test_governors_join_zones_to_networks():
    _, networks = grouped(4, [(0, 1, 1)], governed=[(1, 2, 1)])
    assert networks.zone.tolist() == [0, 0, 1, 2]
    assert networks.network.tolist() == [0, 0, 0, 1]
    assert networks.anchor.tolist() == [0, 3]
    assert (networks.governors.driving.tolist(), networks.governors.driven.tolist()) == ([0], [1])


def test_a_part_alone_is_a_network_and_no_parts_are_none():
    assert len(grouped(1, [])[1]) == 1
    assert len(grouped(0, [])[1]) == 0


@given(mechanisms())
@settings(max_examples=50, deadline=None)
def test_a_pair_coupled_twice_agrees_only_at_one_ratio(mechanism):
    count, couplings = mechanism
    doubled = [(a, b, ratio) for a, b, ratio in couplings for _ in range(2)]
    _, once = grouped(count, couplings)
    _, twice = grouped(count, doubled)
    assert twice.network.tolist() == once.network.tolist()
    assert bool(len(twice.disagreeing)) == bool(len(once.disagreeing))
