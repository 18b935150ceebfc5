"""The tool asked whether couplings lock, and whether fewer have to go than a source says."""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from math import comb

from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.solution.solution import Conflict
from tests.outside.random_gains import Gain
from tests.outside.signed_graphs import Edge, smallest_sets
from tests.support.mechanism import SHAFT, audit_of, mechanism, mover

RATED_RPM = 60
#: Most sets to remove one after another; of more a sample is taken.
MOST = 150


def solved(gains: Sequence[Gain]) -> Case:
    """Solve parts of which the first is a mover."""
    parts = max(max(a, b) for a, b, _ in gains) + 1
    return mechanism([mover(RATED_RPM)] + [SHAFT] * (parts - 1), gains)


def locked(case: Case) -> bool:
    """Tell whether a loop of couplings contradicts itself, as the tool says."""
    return Conflict.LOOP in case.solution.conflict


def loop_findings(case: Case) -> list[Finding]:
    """Return the tool's loop conflicts."""
    return [one for one in audit_of(case).findings.items if one.rule == "loop-conflict"]


def without(gains: Sequence[Gain], removed: Collection[int]) -> list[Gain]:
    """Take some couplings away."""
    return [gain for number, gain in enumerate(gains) if number not in removed]


def with_hidden_speeds(edges: Sequence[Edge], seed: int = 1) -> list[Gain]:
    """Give every vertex a speed of its own, and every edge the ratio that goes with its sign.

    Switching by rational numbers: loops keep their products.
    """
    draw = random.Random(seed)
    speed: dict[int, Fraction] = {}
    for u, v, _ in edges:
        for vertex in (u, v):
            if vertex not in speed:
                size = Fraction(draw.randint(1, 40), draw.randint(1, 40))
                speed[vertex] = draw.choice((-1, 1)) * size
    return [(u, v, sign * speed[v] / speed[u]) for u, v, sign in edges]


def hold_against(edges: Sequence[Edge], number: int) -> list[frozenset[int]]:
    """Hold the tool against the fewest edges that a source says have to go from a signed graph.

    The plain enumeration has to give that number too. The tool, given the signs as ratios and
    with hidden speeds besides, has to find a conflict just if the number is not 0, none without a
    smallest set, and one still without one edge fewer: every set of so many, where these are few.

    Returns
    -------
    Every smallest set.
    """
    sets = smallest_sets(edges)
    assert len(sets[0]) == number
    signs = [(u, v, Fraction(sign)) for u, v, sign in edges]
    hidden = with_hidden_speeds(edges)
    for gains in (signs, hidden):
        case = solved(gains)
        assert locked(case) == (number > 0)
        assert bool(loop_findings(case)) == (number > 0)
        assert_free(gains, sets[0])
    for removed in _one_fewer(len(edges), number, sets[0]):
        assert locked(solved(without(hidden, removed)))
    return sets


def assert_free(gains: Sequence[Gain], removed: Collection[int]) -> None:
    """Every part turns once some couplings are away, and just these are contradicted."""
    case = solved(without(gains, removed))
    assert not locked(case)
    assert loop_findings(case) == []
    rpm = [case.solution.speed_rpm(part) for part in range(len(case.parts))]
    assert rpm[0] == RATED_RPM
    assert None not in rpm
    contradicted = {
        number for number, (a, b, ratio) in enumerate(gains) if rpm[b] != ratio * rpm[a]
    }
    assert contradicted == set(removed)


def _one_fewer(edges: int, number: int, smallest: Collection[int]) -> Iterator[Collection[int]]:
    if number == 0:
        return
    if comb(edges, number - 1) <= MOST:
        yield from combinations(range(edges), number - 1)
        return
    yield from combinations(sorted(smallest), number - 1)
    draw = random.Random(edges)
    for _ in range(10):
        yield draw.sample(range(edges), number - 1)
