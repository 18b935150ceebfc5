"""A loop turns just if the ratios round it multiply to 1, whatever speeds its parts have."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise
from math import prod

import networkx as nx
import pytest

from tests.outside.random_gains import Gain, random_gains
from tests.outside.removals import (
    RATED_RPM,
    locked,
    loop_findings,
    solved,
    without,
)
from tests.outside.signed_graphs import fewest
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Consistency: loops of couplings"
MOON = Check(
    SUBJECT,
    "GAIN1",
    "the trains 64/38 · 48/24 · 127/32 and a direct coupling of 254/19, or of 255/19, between two"
    " shafts",
    "254/19 turns with it; 255/19 locks, and taking any one coupling away frees it",
    Source(
        Evidence.PUBLISHED,
        "254/19: the Moon's train of the Antikythera mechanism, as in CharlesCNorton/"
        "antikythera-verified, antikythera.v; the theorem below",
        "github.com/CharlesCNorton/antikythera-verified",
    ),
)
ZASLAVSKY = Source(
    Evidence.PUBLISHED,
    "T. Zaslavsky, Biased graphs I: bias, balance, and gains, J. Combin. Theory B 47 (1989) 32-52",
    "vdocuments.mx/biased-graphs-i-bias-balance-and-gains-coreacuk-by-simdes-pereira.html",
)
SWITCHING = Check(
    SUBJECT,
    "GAIN2",
    "300 random graphs of ratios before and after switching: every part given a speed of its own,"
    " either way round",
    "what locks stays locked and what turns turns; each speed is multiplied by the part's own",
    ZASLAVSKY,
)
LOOPS = Check(
    SUBJECT,
    "GAIN3",
    "300 random graphs of ratios",
    "locked just if the product round some fundamental loop of a spanning tree is not 1",
    ZASLAVSKY,
)
HARARY = Check(
    SUBJECT,
    "GAIN4",
    "300 random graphs of ratios 1 and -1",
    "turn just if the parts fall into two sides with -1 between and 1 within them",
    Source(
        Evidence.PUBLISHED,
        "F. Harary, On the notion of balance of a signed graph, 1953",
        "proofwiki.org/wiki/Definition:Balanced_Signed_Graph",
    ),
)
SEEDS = range(6)
EACH = 50


@checked(MOON)
def test_two_ways_between_two_shafts_turn_if_they_agree() -> None:
    train = [
        (0, 1, Fraction(-64, 38)),
        (1, 2, Fraction(-48, 24)),
        (2, 3, Fraction(-127, 32)),
    ]
    case = solved([*train, (0, 3, Fraction(-254, 19))])
    assert not locked(case)
    assert loop_findings(case) == []
    assert case.solution.speed_rpm(3) == RATED_RPM * Fraction(-254, 19)


@checked(MOON)
def test_two_ways_between_two_shafts_lock_if_they_do_not_agree() -> None:
    loop = [
        (0, 1, Fraction(-64, 38)),
        (1, 2, Fraction(-48, 24)),
        (2, 3, Fraction(-127, 32)),
        (0, 3, Fraction(-255, 19)),
    ]
    case = solved(loop)
    assert locked(case)
    assert [case.solution.speed_rpm(part) for part in range(4)] == [None] * 4
    (finding,) = loop_findings(case)
    assert finding.witness is not None
    assert len(finding.witness.parts) == 4
    assert finding.witness.product in (Fraction(254, 255), Fraction(255, 254))
    for number in range(4):
        assert not locked(solved(without(loop, {number})))


def _network(draw: random.Random) -> list[Gain]:
    """Draw a network; about half of them contradict themselves nowhere."""
    parts, more = draw.randint(2, 9), draw.randint(1, 7)
    return random_gains(draw, parts=parts, more=more, wrong=draw.choice((0, 0.2)))


def _balanced(gains: list[Gain]) -> bool:
    """Multiply the ratios out round the fundamental loop of every coupling off a spanning tree."""
    tree, chords = nx.Graph(), []
    tree.add_nodes_from(part for gain in gains for part in gain[:2])
    for a, b, ratio in gains:
        if nx.has_path(tree, a, b):
            chords.append((a, b, ratio))
        else:
            tree.add_edge(a, b, gain={(a, b): ratio, (b, a): 1 / ratio})
    return all(
        prod(tree.edges[step]["gain"][step] for step in pairwise(nx.shortest_path(tree, a, b)))
        == ratio
        for a, b, ratio in chords
    )


@checked(LOOPS)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_graph_of_ratios_locks_just_if_a_loop_does_not_multiply_to_1(seed: int) -> None:
    draw = random.Random(seed)
    verdicts = set()
    for _ in range(EACH):
        gains = _network(draw)
        assert locked(solved(gains)) != _balanced(gains)
        verdicts.add(_balanced(gains))
    assert verdicts == {True, False}


@checked(SWITCHING)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_speed_of_its_own_for_every_part_frees_nothing_and_locks_nothing(seed: int) -> None:
    draw = random.Random(100 + seed)
    for _ in range(EACH):
        gains = _network(draw)
        parts = max(b for _, b, _ in gains) + 1
        own = [Fraction(draw.choice((-7, -1, 2, 5)), draw.randint(1, 9)) for _ in range(parts)]
        before = solved(gains).solution
        after = solved([(a, b, ratio * own[b] / own[a]) for a, b, ratio in gains]).solution
        assert before.conflict.tolist() == after.conflict.tolist()
        for part in range(parts):
            rpm = before.speed_rpm(part)
            expected = None if rpm is None else rpm * own[part] / own[0]
            assert after.speed_rpm(part) == expected


@checked(HARARY)
@pytest.mark.parametrize("seed", SEEDS)
def test_signs_alone_turn_just_if_the_parts_fall_into_two_sides(seed: int) -> None:
    draw = random.Random(200 + seed)
    verdicts = set()
    for _ in range(EACH):
        edges = [(a, b, 1 if ratio > 0 else -1) for a, b, ratio in _network(draw)]
        gains = [(a, b, Fraction(sign)) for a, b, sign in edges]
        assert locked(solved(gains)) == (fewest(edges) > 0)
        verdicts.add(fewest(edges) > 0)
    assert verdicts == {True, False}
