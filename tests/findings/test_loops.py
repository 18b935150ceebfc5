"""Witnesses of loop conflicts, judged by a plain search of every loop."""

from __future__ import annotations

import random
import time
from fractions import Fraction

import networkx as nx
import pytest

from analyzer.base.policy import Level
from analyzer.findings.findings import Finding
from analyzer.findings.graph import neighbours_of
from analyzer.findings.loops import LoopSearch
from analyzer.findings.rules.loop_conflict import find_loop_conflicts
from analyzer.findings.twist import Twists
from tests.support.mechanism import SHAFT, at, mechanism

MESH = Fraction(-1)


def loops_in(parts: int, couplings: list[tuple[int, int, Fraction]]) -> list[Finding]:
    return list(find_loop_conflicts(mechanism([SHAFT] * parts, couplings), Level.ERROR))


def test_three_wheels_in_mesh_with_each_other_lock() -> None:
    # Source: S. Schleimer, H. Segerman, Bridges 2013, pp. 353-360: three mutually touching planar
    # gears are frozen.
    (found,) = loops_in(3, [(0, 1, MESH), (1, 2, MESH), (0, 2, MESH)])
    assert found.witness is not None
    assert found.witness.parts == at(0, 1, 2)
    assert found.witness.ratios == (MESH, MESH, MESH)
    assert found.witness.product == -1
    assert found.witness.shortest


@pytest.mark.parametrize("wheels", range(3, 21))
def test_a_ring_of_wheels_locks_just_if_their_number_is_odd(wheels: int) -> None:
    # Source: the puzzle of 19 gears on a two-pound coin; the parity rule of outside gearing,
    # Encyclopaedia Britannica, 11th ed., "Mechanics".
    ring = [(i, i + 1, MESH) for i in range(wheels - 1)] + [(0, wheels - 1, MESH)]
    found = loops_in(wheels, ring)
    assert [len(one.witness.parts) for one in found if one.witness] == [wheels] * (wheels % 2)


def test_two_couplings_of_one_pair_with_different_ratios_are_a_loop_of_two_parts() -> None:
    (found,) = loops_in(2, [(0, 1, Fraction(2)), (0, 1, Fraction(3))])
    assert found.witness is not None
    assert found.witness.parts == at(0, 1)
    assert found.witness.ratios == (Fraction(2), Fraction(1, 3))
    assert found.witness.product == Fraction(2, 3)


def test_two_couplings_of_one_pair_with_one_ratio_agree() -> None:
    assert loops_in(2, [(0, 1, Fraction(2)), (0, 1, Fraction(2))]) == []


def test_a_loop_whose_speeds_clash_shows_a_product_other_than_minus_one() -> None:
    # Source: 64/38 x 48/24 x 127/32 = 254/19, the mean Moon train of the Antikythera mechanism
    # (D. de Solla Price 1974; T. Freeth et al., Nature 444 (2006) 587-591); beside it 255/19.
    train = [(0, 1, Fraction(64, 38)), (1, 2, Fraction(48, 24)), (2, 3, Fraction(127, 32))]
    assert loops_in(4, [*train, (0, 3, Fraction(254, 19))]) == []
    (found,) = loops_in(4, [*train, (0, 3, Fraction(255, 19))])
    assert found.witness is not None
    assert found.witness.product == Fraction(254, 255)


def test_each_unbalanced_block_is_one_finding() -> None:
    triangles = [(0, 1, MESH), (1, 2, MESH), (0, 2, MESH), (2, 3, MESH), (3, 4, MESH), (2, 4, MESH)]
    bridge = [(4, 5, MESH), (5, 6, MESH), (6, 7, MESH), (5, 7, MESH)]
    found = loops_in(8, triangles + bridge)
    assert [one.witness.parts for one in found if one.witness] == [
        at(0, 1, 2),
        at(2, 3, 4),
        at(5, 6, 7),
    ]


def test_a_block_counts_its_parts_and_shows_its_shortest_loop() -> None:
    # A square with one diagonal: the odd triangles are shorter than any other way round.
    square = [(0, 1, MESH), (1, 2, MESH), (2, 3, MESH), (0, 3, MESH), (0, 2, MESH)]
    (found,) = loops_in(4, square)
    assert found.witness is not None
    assert (found.count, found.at, found.witness.parts) == (4, at(0)[0], at(0, 1, 2))


def test_a_loop_starts_at_its_smallest_part_towards_the_smaller_neighbour() -> None:
    ring = [(1, 3, MESH), (1, 4, MESH), (3, 4, MESH)]
    (found,) = loops_in(5, [(0, 1, MESH), *ring, (2, 4, MESH)])
    assert found.witness is not None
    assert found.witness.parts == at(1, 3, 4)


def test_loops_in_networks_that_were_not_asked_about_are_left_out() -> None:
    rings = [(0, 1, MESH), (1, 2, MESH), (0, 2, MESH), (3, 4, MESH), (4, 5, MESH), (3, 5, MESH)]
    case = mechanism([SHAFT] * 6, rings, selected=[1])
    assert [one.at for one in find_loop_conflicts(case, Level.ERROR)] == [at(3)[0]]


def plain_answer(couplings: list[tuple[int, int, Fraction]]) -> list[tuple[tuple[int, ...], int]]:
    """Return (parts, length of the shortest unbalanced loop) of each unbalanced block."""
    graph = nx.MultiGraph()
    for a, b, ratio in couplings:
        graph.add_edge(a, b, ratio=ratio)
    answer = []
    for block in nx.biconnected_components(nx.Graph(graph)):
        lengths = [
            length
            for start in block
            for length, product in _rounds(graph.subgraph(block), start)
            if product != 1
        ]
        if lengths:
            answer.append((tuple(sorted(block)), min(lengths)))
    return sorted(answer)


def _rounds(graph: nx.MultiGraph, start: int) -> list[tuple[int, Fraction]]:
    """Return (length, product) of every simple loop whose smallest part is the start."""
    found = []
    waiting = [(start, (start,), frozenset[tuple[int, int, int]](), Fraction(1))]
    while waiting:
        part, visited, used, product = waiting.pop()
        for a, b, key, data in graph.edges(part, keys=True, data=True):
            other = b if a == part else a
            name = (min(a, b), max(a, b), key)
            if name in used or other < start:
                continue
            step = data["ratio"] if part < other else 1 / data["ratio"]
            if other == start:
                found.append((len(visited), product * step))
            elif other not in visited:
                waiting.append((other, (*visited, other), used | {name}, product * step))
    return found


@pytest.mark.parametrize("seed", range(300))
def test_witnesses_are_as_short_as_a_search_of_every_loop_finds(seed: int) -> None:
    chance = random.Random(seed)
    parts = chance.randint(2, 8)
    speeds = [chance.choice([1, -1, 2, Fraction(1, 3)]) for _ in range(parts)]
    couplings = []
    for _ in range(chance.randint(1, 12)):
        a, b = sorted(chance.sample(range(parts), 2))
        twist = chance.choice([1, 1, 1, 1, -1, 2])
        couplings.append((a, b, Fraction(speeds[b]) / speeds[a] * twist))
    found = loops_in(parts, couplings)
    assert [(one.count, len(one.witness.parts)) for one in found if one.witness] == [
        (len(block), length) for block, length in _in_order(couplings, found)
    ]
    for one in found:
        assert one.witness is not None
        assert one.witness.product != 1
        assert len(set(one.witness.parts)) == len(one.witness.parts) == len(one.witness.ratios)


def _in_order(
    couplings: list[tuple[int, int, Fraction]], found: list[Finding]
) -> list[tuple[tuple[int, ...], int]]:
    """Return the plain answer's blocks in the order in which the findings name them."""
    answer = plain_answer(couplings)
    assert len(answer) == len(found)
    ordered = []
    for one in found:
        assert one.witness is not None
        loop = {place.x for place in one.witness.parts}
        (block,) = [row for row in answer if loop <= set(row[0])]
        ordered.append(block)
    return ordered


def test_where_the_search_is_cut_short_the_loop_is_not_called_the_shortest() -> None:
    couplings = [(i, i + 1, MESH) for i in range(40)] + [(0, 40, MESH), (0, 2, Fraction(1))]
    case = mechanism([SHAFT] * 41, couplings)
    twists = Twists(case.couplings, case.networks, case.disagreeing_by_zone[0])
    search = LoopSearch(neighbours_of(case.couplings, case.couplings_by_zone[0]), twists, work=3)
    ends = [
        (int(case.couplings.a[number]), int(case.couplings.b[number]))
        for number in case.disagreeing_by_zone[0]
    ]
    found = search.run(ends)
    assert found is None or not found.shortest


def test_a_hundred_thousand_wheels_in_a_field_of_conflicts_are_judged_in_seconds() -> None:
    side = 316
    couplings = []
    for x in range(side):
        for z in range(side):
            part = x * side + z
            if z + 1 < side:
                couplings.append((part, part + 1, MESH))
            if x + 1 < side:
                couplings.append((part, part + side, MESH if (x * z) % 7 else Fraction(1)))
    case = mechanism([SHAFT] * side**2, couplings)
    start = time.perf_counter()
    (found,) = find_loop_conflicts(case, Level.ERROR)
    assert found.witness is not None
    assert (len(found.witness.parts), found.witness.shortest) == (4, True)
    # About 3 s on the machine this was written on; the bound is loose for slower ones.
    assert time.perf_counter() - start < 30


def test_a_wide_band_that_turns_over_once_is_judged_within_the_bound_on_work() -> None:
    # A strip of wheels, joined end to end with one row too many: every long way round is odd.
    length, width = 301, 20
    couplings = []
    for x in range(length):
        for z in range(width):
            part = x * width + z
            if z + 1 < width:
                couplings.append((part, part + 1, MESH))
            if x + 1 < length:
                couplings.append((part, part + width, MESH))
            else:
                couplings.append((z, part, MESH))
    (found,) = find_loop_conflicts(mechanism([SHAFT] * (length * width), couplings), Level.ERROR)
    assert found.witness is not None
    assert found.witness.product == -1
    assert len(found.witness.parts) == length
