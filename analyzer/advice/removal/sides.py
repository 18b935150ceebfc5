"""The lightest set of edges that balances a signed graph, by trying all ways to take sides.

A signed graph is balanced just if its vertices fall into two sides with the positive edges inside
and the negative ones between (F. Harary, *On the notion of balance of a signed graph*, Michigan
Math. J. 2 (1953) 143-146). Where the sides of some vertices are fixed and no two of the others are
joined, each of those joins the side where less of its edges is wrong; so only the former are tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.advice.removal.gain_graph import Removal, Twisted

#: Most vertices whose sides are tried; all ways are tried, half as many as their powers of two.
MOST: Final = 17
#: Most ties of which the set with the smallest numbers is chosen.
_TIES: Final = 64


def lightest_by_sides(graph: Twisted, weights: Sequence[int]) -> Removal | None:
    """Return the lightest set of edges whose removal balances a connected graph.

    Parameters
    ----------
    graph
        A graph.
    weights
        Weight of each edge, at least 1.

    Returns
    -------
    Removal or None
        Of several lightest sets one with the smallest edge numbers. None where gains other than
        signs occur, or too many vertices would have to be tried.
    """
    signs = [graph.gains.value(gain) for _, _, gain in graph.edges]
    if any(abs(sign) != 1 for sign in signs):
        return None
    tried = _cover(graph)
    if tried is None:
        return None
    negative = [sign == Fraction(-1) for sign in signs]
    place = {vertex: bit for bit, vertex in enumerate(tried)}
    total, others = _costs(graph, weights, negative, place)
    least = int(total.min())
    ways = np.flatnonzero(total == least)[:_TIES].tolist()
    removed = min(_wrong(graph, negative, place, others, way) for way in ways)
    return Removal(removed, least, least, "enumeration")


def _cover(graph: Twisted) -> list[int] | None:
    """Return vertices that touch every edge, those with the most edges first."""
    left = {vertex: {other for other, _, _ in near} for vertex, near in enumerate(graph.neighbours)}
    found: list[int] = []
    while True:
        vertex = max(left, key=lambda one: (len(left[one]), -one), default=None)
        if vertex is None or not left[vertex]:
            return found
        if len(found) == MOST:
            return None
        found.append(vertex)
        for other in left.pop(vertex):
            left.get(other, set()).discard(vertex)


def _costs(
    graph: Twisted, weights: Sequence[int], negative: Sequence[bool], place: dict[int, int]
) -> tuple[npt.NDArray[np.int64], dict[int, npt.NDArray[np.bool_]]]:
    """Return the weight that is wrong by way, and the better side of each other vertex by way."""
    ways = np.arange(1 << max(len(place) - 1, 0), dtype=np.int64)
    total = np.zeros(len(ways), np.int64)
    balance: dict[int, npt.NDArray[np.int64]] = {}
    whole: dict[int, int] = {}
    for (u, v, _), weight, minus in zip(graph.edges, weights, negative, strict=True):
        if u in place and v in place:
            apart = (_side(ways, place, u) ^ _side(ways, place, v)) & 1
            total += weight * (apart != minus)
            continue
        tried, other = (u, v) if u in place else (v, u)
        # Wrong by standing at side 0: where the tried one's side and the sign do not go together.
        wrong = _side(ways, place, tried) != minus
        balance[other] = balance.get(other, np.zeros(len(ways), np.int64)) + weight * wrong
        whole[other] = whole.get(other, 0) + weight
    sides: dict[int, npt.NDArray[np.bool_]] = {}
    for other, wrong_at_0 in balance.items():
        wrong_at_1 = whole[other] - wrong_at_0
        total += np.minimum(wrong_at_0, wrong_at_1)
        sides[other] = wrong_at_1 < wrong_at_0
    return total, sides


def _side(ways: npt.NDArray[np.int64], place: dict[int, int], vertex: int) -> npt.NDArray[np.int64]:
    side: npt.NDArray[np.int64] = (ways >> place[vertex]) & 1
    return side


def _wrong(
    graph: Twisted,
    negative: Sequence[bool],
    place: dict[int, int],
    sides: dict[int, npt.NDArray[np.bool_]],
    way: int,
) -> tuple[int, ...]:
    def side(vertex: int) -> bool:
        if vertex in place:
            return bool(way >> place[vertex] & 1)
        return bool(sides[vertex][way])

    return tuple(
        number
        for number, ((u, v, _), minus) in enumerate(zip(graph.edges, negative, strict=True))
        if (side(u) != side(v)) != minus
    )
