"""The loop that proves a conflict is really the shortest one, judged by listing every loop."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import prod

import networkx as nx
import pytest

from tests.outside.random_gains import Gain, random_gains
from tests.outside.removals import loop_findings, solved
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Consistency: loops of couplings"
BLOCKS = Check(
    SUBJECT,
    "WIT1",
    "400 random networks of 2 to 11 parts, pairs coupled more than once among them",
    "one loop conflict for each biconnected block in which some loop does not multiply to 1",
    Source(
        Evidence.LIBRARY,
        "networkx: biconnected_components, simple_cycles; every product multiplied out",
        "networkx.org/documentation/stable/reference/algorithms/",
    ),
)
SHORTEST = Check(
    SUBJECT,
    "WIT2",
    "the loop given with each of these conflicts",
    "is a loop of that block, does not multiply to 1, and none that does not has fewer couplings",
    BLOCKS.source,
)
SEEDS = range(4)
EACH = 100


def _ratios(gains: Sequence[Gain]) -> dict[tuple[int, int], list[Fraction]]:
    """Return the ratios of the couplings of each pair, either way along."""
    ratios = defaultdict(list)
    for a, b, ratio in gains:
        ratios[a, b].append(ratio)
        ratios[b, a].append(1 / ratio)
    return ratios


def _unbalanced_lengths(gains: Sequence[Gain]) -> Iterator[tuple[frozenset[int], set[int]]]:
    """Yield the parts of each block, and the lengths of its loops whose product is not 1."""
    ratios = _ratios(gains)
    graph = nx.Graph(list(ratios))
    for parts in nx.biconnected_components(graph):
        lengths = set()
        for pair in ratios:
            # Two couplings of one pair are a loop of two parts.
            if set(pair) <= parts and len(set(ratios[pair])) > 1:
                lengths.add(2)
        for loop in nx.simple_cycles(graph.subgraph(parts)):
            steps = [ratios[step] for step in zip(loop, loop[1:] + loop[:1], strict=True)]
            if any(prod(chosen) != 1 for chosen in product(*steps)):
                lengths.add(len(loop))
        yield frozenset(parts), lengths


def _networks(seed: int) -> Iterator[list[Gain]]:
    draw = random.Random(seed)
    for _ in range(EACH):
        parts, more = draw.randint(2, 11), draw.randint(1, 8)
        yield random_gains(draw, parts=parts, more=more, wrong=draw.choice((0.03, 0.1, 0.3)))


@checked(BLOCKS)
@pytest.mark.parametrize("seed", SEEDS)
def test_there_is_one_conflict_for_each_block_with_a_contradiction(seed: int) -> None:
    blocks = set()
    for gains in _networks(seed):
        unbalanced = [parts for parts, lengths in _unbalanced_lengths(gains) if lengths]
        blocks.add(len(unbalanced))
        found = loop_findings(solved(gains))
        assert sorted(finding.count for finding in found) == sorted(map(len, unbalanced))
        places = [{at.x for at in finding.witness.parts} for finding in found if finding.witness]
        # Two blocks share one part at most, so each loop lies in one block alone.
        assert sorted(
            number for number, parts in enumerate(unbalanced) for place in places if place <= parts
        ) == list(range(len(unbalanced)))
    assert {0, 1} < blocks


@checked(SHORTEST)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_loop_of_a_conflict_is_the_shortest_of_its_block(seed: int) -> None:
    seen = set()
    for gains in _networks(1000 + seed):
        ratios = _ratios(gains)
        least = {parts: min(lengths) for parts, lengths in _unbalanced_lengths(gains) if lengths}
        for finding in loop_findings(solved(gains)):
            witness = finding.witness
            assert witness is not None
            assert (witness.kind, witness.shortest) == ("loop", True)
            loop = [at.x for at in witness.parts]
            assert len(set(loop)) == len(loop)
            steps = zip(loop, loop[1:] + loop[:1], witness.ratios, strict=True)
            assert all(ratio in ratios[a, b] for a, b, ratio in steps)
            assert prod(witness.ratios) == witness.product != 1
            (length,) = (number for parts, number in least.items() if parts >= set(loop))
            assert len(loop) == length
            seen.add(length)
    assert {2, 3, 4} < seen
