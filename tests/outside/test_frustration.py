"""How many couplings have to go before anything turns: graphs whose numbers are known.

A negative edge is a mesh of two equal gears, a positive one an open belt or a common shaft. The
fewest edges whose removal balances a signed graph is its frustration index.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations_with_replacement
from math import comb

import networkx as nx
import numpy as np
import pytest

from tests.outside.removals import assert_free, hold_against, locked, solved, without
from tests.outside.signed_graphs import (
    Edge,
    all_negative,
    bipartite,
    sign_patterns,
)
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Consistency: the fewest couplings to remove"
D2 = Check(
    SUBJECT,
    "D2",
    "n equal gears, each in mesh with every other; n from 3 to 12",
    "1, 2, 4, 6, 9, 12, 16, 20, 25, 30: the whole part of (n - 1)²/4",
    Source(
        Evidence.PUBLISHED,
        "M. Petersdorf 1966, as stated by G. Bowlin, abstract of a seminar, Binghamton 2009",
        "www2.math.binghamton.edu/p/seminars/comb/abstract.200902bow",
    ),
)
D3 = Check(
    SUBJECT,
    "D3",
    "the worst signing of couplings between 4 parts and each of n others; n from 1 to 8",
    "0, 2, 3, 4, 5, 7, 8, 10",
    Source(Evidence.PUBLISHED, "OEIS A245231", "oeis.org/A245231"),
)
D4 = Check(
    SUBJECT,
    "D4",
    "the worst signing of couplings between 5 parts and each of n others; n from 1 to 6",
    "0, 2, 3, 5, 7, 9",
    Source(Evidence.PUBLISHED, "OEIS A245227", "oeis.org/A245227"),
)
D5 = Check(
    SUBJECT,
    "D5",
    "couplings between l parts and 2^(l-1) others that carry every pattern of signs once; l = 3 to"
    " 6",
    "3, 10, 25, 66: the bound (l·r/2)(1 - C(l-1, ⌊(l-1)/2⌋)/2^(l-1)) is met",
    Source(
        Evidence.COMPUTED,
        "the bound: G. Bowlin, Maximum frustration in bipartite signed graphs, Electronic J."
        " Combin. 19(4) (2012) P10; that these columns meet it is enumerated by the test",
        "combinatorics.org/ojs/index.php/eljc/article/view/v19i4p10",
    ),
)

ALL_TOUCHING = list(enumerate((1, 2, 4, 6, 9, 12, 16, 20, 25, 30), 3))
BETWEEN_GROUPS = [
    (left, right, number, check)
    for left, check, numbers in (
        (4, D3, (0, 2, 3, 4, 5, 7, 8, 10)),
        (5, D4, (0, 2, 3, 5, 7, 9)),
    )
    for right, number in enumerate(numbers, 1)
]
EVERY_PATTERN = [(3, 3), (4, 10), (5, 25), (6, 66)]


@checked(D2)
@pytest.mark.parametrize(("gears", "number"), ALL_TOUCHING)
def test_gears_that_all_touch_each_other_lock_until_so_many_meshes_are_gone(
    gears: int, number: int
) -> None:
    assert number == (gears - 1) ** 2 // 4
    hold_against(all_negative(nx.complete_graph(gears)), number)


def worst(left: int, right: int) -> list[Edge]:
    """Return a signing of the complete bipartite graph that frustrates most.

    Every signing is that of some selection of patterns, up to switching. Given the sides of the
    left vertices each right vertex joins the side where fewer of its edges are wrong.
    """
    patterns = np.array(sign_patterns(left))
    agreeing = np.abs(patterns @ patterns.T)
    wrong = (left - agreeing) // 2
    chosen = np.array(list(combinations_with_replacement(range(len(patterns)), right)))
    frustration = wrong[chosen].sum(axis=1).min(axis=1)
    return bipartite([patterns[row].tolist() for row in chosen[frustration.argmax()]])


@pytest.mark.parametrize(
    ("left", "right", "number"),
    [pytest.param(*row, marks=checked(check)) for *row, check in BETWEEN_GROUPS],
)
def test_the_worst_signing_between_two_groups_locks_until_so_many_couplings_are_gone(
    left: int, right: int, number: int
) -> None:
    hold_against(worst(left, right), number)


@checked(D5)
@pytest.mark.parametrize(("left", "number"), EVERY_PATTERN)
def test_every_pattern_of_signs_once_meets_the_bound(left: int, number: int) -> None:
    columns = sign_patterns(left)
    bound = Fraction(left * len(columns), 2) * (
        1 - Fraction(comb(left - 1, (left - 1) // 2), len(columns))
    )
    assert bound == number
    if left < 6:
        hold_against(bipartite(columns), number)
    else:
        # 38 vertices are too many to enumerate, but the left six decide for all others.
        patterns = np.array(columns)
        wrong = (left - np.abs(patterns @ patterns.T)) // 2
        assert wrong.sum(axis=1).min() == number
        _hold_by_left_sides(bipartite(columns), left, number)


def _hold_by_left_sides(edges: Sequence[Edge], left: int, number: int) -> None:
    """Take sides as the left vertices stand at first; what is then wrong has to go."""
    removed = set()
    for column in {v for _, v, _ in edges}:
        signs = {n: sign for n, (_, v, sign) in enumerate(edges) if v == column}
        minority = min((1, -1), key=lambda s: (list(signs.values()).count(s), s))
        removed |= {n for n, sign in signs.items() if sign == minority}
    assert len(removed) == number
    gains = [(u, v, Fraction(sign)) for u, v, sign in edges]
    assert locked(solved(gains))
    assert_free(gains, removed)
    for kept in sorted(removed)[::11]:
        assert locked(solved(without(gains, removed - {kept})))
