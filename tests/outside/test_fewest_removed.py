"""The advice itself held against published numbers: which couplings it would undo, and how many."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations

import networkx as nx
import pytest

from analyzer.advice.removal.fewest import fewest_edges, fewest_vertices
from tests.outside.random_gains import Gain, random_gains
from tests.outside.removals import assert_free, locked, solved, with_hidden_speeds, without
from tests.outside.signed_graphs import (
    Edge,
    all_negative,
    bipartite,
    fewest,
    generalised_petersen,
    negated,
    sign_patterns,
    switching_classes,
    truncated,
)
from tests.outside.test_balance import MOON
from tests.outside.test_frustration import (
    ALL_TOUCHING,
    BETWEEN_GROUPS,
    D2,
    D5,
    EVERY_PATTERN,
    worst,
)
from tests.outside.test_named_graphs import C60, D11, NAMED
from tests.outside.test_petersen import D9, GENERALISED, PETERSEN, SIGNINGS
from tests.outside.test_tribes import D10, ONLY, SEVEN, tribes
from tests.support.check import Check, Evidence, Source, checked

ENUMERATED = Check(
    "Consistency: the fewest couplings to remove",
    "least removals",
    "240 random graphs of ratios: the couplings, and the parts, that the advice would remove",
    "no smaller set of either leaves every loop with the product 1",
    Source(Evidence.COMPUTED, "enumeration of all smaller sets, by the test"),
)


def _published() -> Iterator[tuple[str, Check, list[Edge], int]]:
    for n, number in ALL_TOUCHING:
        yield f"D2-{n}", D2, all_negative(nx.complete_graph(n)), number
    for left, right, number, check in BETWEEN_GROUPS:
        yield f"{check.key}-{right}", check, worst(left, right), number
    for left, number in EVERY_PATTERN:
        yield f"D5-{left}", D5, bipartite(sign_patterns(left)), number
    for n, k, number, check in GENERALISED:
        hardest = max(switching_classes(generalised_petersen(n, k)), key=fewest)
        yield f"{check.key}-{n}-{k}", check, hardest, number
    for row, (negative, number, _) in enumerate(SIGNINGS):
        yield f"D9-{row}", D9, negated(PETERSEN, negative), number
    yield "D10", D10, tribes(), 7
    for row, (graph, number) in enumerate(NAMED):
        yield f"D11-{row}", D11, all_negative(graph), number
    yield "C60", C60, all_negative(truncated(nx.icosahedral_graph())), 12


def _signs(edges: Sequence[Edge]) -> list[Gain]:
    return [(u, v, Fraction(sign)) for u, v, sign in edges]


def _size(gains: Sequence[Gain]) -> int:
    return max(max(u, v) for u, v, _ in gains) + 1


@pytest.mark.parametrize(
    ("edges", "number"),
    [
        pytest.param(edges, number, id=name, marks=checked(check))
        for name, check, edges, number in _published()
    ],
)
def test_the_advice_undoes_as_few_couplings_as_the_source_says(
    edges: list[Edge], number: int
) -> None:
    for gains in (_signs(edges), with_hidden_speeds(edges)):
        found = fewest_edges(_size(gains), gains)
        assert (found.weight, found.bound) == (number, number)
        assert len(found.removed) == number
        assert_free(gains, found.removed)


@checked(ONLY)
def test_the_advice_undoes_just_the_seven_couplings_of_the_tribes() -> None:
    edges = tribes()
    removed = fewest_edges(16, _signs(edges)).removed
    assert {edges[number][:2] for number in removed} == SEVEN


@checked(MOON)
@pytest.mark.parametrize(("direct", "number"), [(254, 0), (255, 1)])
def test_the_advice_undoes_one_coupling_of_two_ways_that_do_not_agree(
    direct: int, number: int
) -> None:
    gains = [
        (0, 1, Fraction(-64, 38)),
        (1, 2, Fraction(-48, 24)),
        (2, 3, Fraction(-127, 32)),
        (0, 3, Fraction(-direct, 19)),
    ]
    found = fewest_edges(4, gains)
    assert (found.weight, found.bound) == (number, number)
    assert not locked(solved(without(gains, found.removed)))


@checked(ENUMERATED)
@pytest.mark.parametrize("seed", range(6))
def test_no_fewer_couplings_and_no_fewer_parts_would_do(seed: int) -> None:
    draw = random.Random(300 + seed)
    numbers = set()
    for _ in range(40):
        gains = random_gains(
            draw, parts=draw.randint(2, 7), more=draw.randint(1, 6), wrong=draw.choice((0.3, 0.8))
        )
        size = _size(gains)
        edges, vertices = fewest_edges(size, gains), fewest_vertices(size, gains)
        assert vertices is not None
        assert edges.least
        assert vertices.least
        least = next(k for k in range(len(gains)) if _some_without(gains, k))
        assert len(edges.removed) == edges.weight == least
        assert _turns(without(gains, edges.removed))
        least = next(k for k in range(size) if _some_off(gains, k))
        assert len(vertices.removed) == vertices.weight == least
        assert _turns(_off(gains, vertices.removed))
        numbers.add((len(edges.removed), least))
    assert len(numbers) > 3
    assert any(edges > vertices for edges, vertices in numbers)


def _some_without(gains: Sequence[Gain], number: int) -> bool:
    sets = combinations(range(len(gains)), number)
    return any(_turns(without(gains, chosen)) for chosen in sets)


def _some_off(gains: Sequence[Gain], number: int) -> bool:
    sets = combinations(range(_size(gains)), number)
    return any(_turns(_off(gains, chosen)) for chosen in sets)


def _off(gains: Sequence[Gain], parts: Sequence[int]) -> list[Gain]:
    gone = set(parts)
    return [gain for gain in gains if not gone & set(gain[:2])]


def _turns(gains: Sequence[Gain]) -> bool:
    """Tell whether every part can have a speed, by giving them speeds one after another."""
    speeds: dict[int, Fraction] = {}
    graph = nx.MultiGraph()
    graph.add_edges_from((a, b, {"row": row}) for row, (a, b, _) in enumerate(gains))
    for component in nx.connected_components(graph):
        speeds[min(component)] = Fraction(1)
        for here, there in nx.bfs_edges(graph, min(component)):
            a, _, ratio = gains[min(one["row"] for one in graph[here][there].values())]
            speeds[there] = speeds[here] * ratio if a == here else speeds[here] / ratio
    return all(speeds[b] == ratio * speeds[a] for a, b, ratio in gains)
