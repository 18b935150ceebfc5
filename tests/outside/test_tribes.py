"""Couplings after a signed network from the field: who is friend and foe among sixteen tribes."""

from __future__ import annotations

from tests.outside.removals import hold_against
from tests.outside.signed_graphs import Edge
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Consistency: the fewest couplings to remove"
D10 = Check(
    SUBJECT,
    "D10",
    "sixteen tribes of the Eastern Central Highlands: 29 friendships as couplings of ratio 1 and 29"
    " enmities of ratio -1",
    "7",
    Source(
        Evidence.MEMORY,
        "S. Aref, M. C. Wilson, Measuring partial balance in signed networks, J. Complex Networks 6"
        " (2018) 566-595; found again by enumeration. Edges: K. E. Read 1954, as in schochastics/"
        "signnet, data/tribes.rda",
        "arxiv.org/abs/1509.04037",
    ),
)
ONLY = Check(
    SUBJECT,
    "D10 sides",
    "which seven have to go",
    "5-8, 5-12, 7-13, 8-10, 9-10, 10-12, 11-13, and no other seven",
    Source(Evidence.COMPUTED, "enumeration of all ways to take sides, by the test"),
)
# Gavev, Kotun, Ove, Alika, Nagam, Gahuku, Masil, Ukudz, Notoh, Kohik, Geham, Asaro, Uheto, Seuve,
# Nagad and Gama, from 0.
FRIENDS = """
0-1 0-14 0-15 1-14 1-15 2-3 2-5 2-6 2-7 3-7 4-6 4-8 4-13 5-6 5-7 5-10 5-11 6-7 6-10 6-11 6-12 7-10
7-11 8-9 8-12 9-12 10-11 12-13 14-15
"""
FOES = """
0-2 0-3 0-4 0-5 0-11 1-2 1-4 1-5 1-8 1-9 4-14 4-15 5-8 5-12 5-15 7-13 8-10 8-14 9-10 9-14 10-12
10-14 10-15 11-13 11-14 11-15 12-14 12-15 13-15
"""
SEVEN = {(5, 8), (5, 12), (7, 13), (8, 10), (9, 10), (10, 12), (11, 13)}


def tribes() -> list[Edge]:
    pairs = [(pair, sign) for text, sign in ((FRIENDS, 1), (FOES, -1)) for pair in text.split()]
    return sorted((*map(int, pair.split("-")), sign) for pair, sign in pairs)


@checked(D10, ONLY)
def test_the_couplings_of_the_tribes_lock_until_seven_are_gone() -> None:
    edges = tribes()
    assert sum(sign > 0 for _, _, sign in edges) == sum(sign < 0 for _, _, sign in edges) == 29
    (removed,) = hold_against(edges, 7)
    assert {edges[number][:2] for number in removed} == SEVEN
