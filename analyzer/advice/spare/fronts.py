"""Every choice of gears that could come up to a worth, piece by piece: an exact optimum."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.advice.spare.kinds import Edge, Numbers
from analyzer.advice.spare.pieces import Piece
from analyzer.advice.spare.priced import Market, Pricing

#: Sums that may be formed, and merges counted as so many of them.
WORK: Final = 6_000_000
_MERGE: Final = 400

_Rows = npt.NDArray[np.int64]


class TooMuchError(Exception):
    """More sums than may be formed."""


@dataclass(frozen=True, eq=False)
class _Front:
    """Ways none of which beats another in worth and demand at once, by ascending demand.

    `first` and `second` tell which way of what was there, and which of what came in, each is made
    of; or which option, and which way behind it.
    """

    demand: _Rows
    worth: _Rows
    first: _Rows
    second: _Rows


class Fronts:
    """The ways to gear a drive that may be worth so much.

    Parameters
    ----------
    market, pricing
        The drive, and a price that bounds what each way may come to.
    outer
        Those bounds, as `Market.outer` gives them.
    work
        How many sums may be formed, over all searches.

    Notes
    -----
    Dynamic programming over the tree by lists of undominated states, cut by an upper bound (D.
    Pisinger, *A minimal algorithm for the multiple-choice knapsack problem*, European Journal of
    Operational Research 83 (1995) 394-410; cited from memory).
    """

    def __init__(
        self, market: Market, pricing: Pricing, outer: tuple[Numbers, Numbers], work: int
    ) -> None:
        self._market, self._pricing, self._work = market, pricing, work
        self._outer, self._best = outer
        self._stages: dict[tuple[int, int], list[_Front]] = {}
        self._options: dict[tuple[int, int, int], _Front] = {}
        self._least = 0

    def best(self, least: int) -> tuple[int, int] | None:
        """Return worth and demand of the best way that is worth so much; None where none is.

        Raises
        ------
        TooMuchError
            Where that takes too many sums.
        """
        kinds, stakes = self._market.kinds, self._market.stakes
        self._least = (least << self._pricing.shift) - self._pricing.price * stakes.capacity
        self._stages.clear()
        self._options.clear()
        for kind in range(len(kinds.pieces)):
            reached = self._outer[kind, :-1] != self._pricing.values[0, -1]
            for state in np.flatnonzero(stakes.fits[kind] & reached).tolist():
                self._grow(kind, state)
        ways = self._stages[kinds.trunk, 0][-1]
        good = np.flatnonzero(ways.demand <= stakes.capacity)
        if not len(good):
            return None
        worth, demand = int(ways.worth[good[-1]]), int(ways.demand[good[-1]])
        return (worth, demand) if worth >= least else None

    def choice(self, trunk: Piece) -> dict[int, int]:
        """Return the option before each piece that has gears, in the way found last."""
        kinds = self._market.kinds
        choice: dict[int, int] = {}
        last = self._stages[kinds.trunk, 0][-1]
        way = int(np.flatnonzero(last.demand <= self._market.stakes.capacity)[-1])
        waiting = [(trunk, 0, way)]
        for piece, state, found in waiting:
            number = found
            kind = kinds.of_piece[id(piece)]
            stages = self._stages[kind, state]
            children: dict[int, list[Piece]] = {}
            for child in piece.behind:
                children.setdefault(kinds.of_piece[id(child)], []).append(child)
            row = len(stages) - 1
            for edge in reversed(kinds.edges[kind]):
                options = self._options[kind, edge.behind, state]
                for child in children[edge.behind]:
                    one = int(stages[row].second[number])
                    number, row = int(stages[row].first[number]), row - 1
                    option = int(options.first[one])
                    if option:
                        choice[id(child)] = option
                    onward = int(edge.onward[option, state])
                    waiting.append((child, onward, int(options.second[one])))
        return choice

    def _grow(self, kind: int, state: int) -> None:
        """Form the ways of a piece in a state with all behind it."""
        market, stakes = self._market, self._market.stakes
        edges = market.kinds.edges[kind]
        none = np.zeros(1, np.int64)
        own = _Front(
            none + stakes.demand[kind, state], none + stakes.worth[kind, state], none, none
        )
        rest = sum(edge.count * int(self._best[edge.number, state]) for edge in edges)
        stages = [self._kept(own, kind, state, rest)]
        for edge in edges:
            options = self._ahead(edge, state)
            self._options[kind, edge.behind, state] = options
            for _ in range(edge.count):
                rest -= int(self._best[edge.number, state])
                stages.append(self._joined(stages[-1], options, kind, state, rest))
        self._stages[kind, state] = stages

    def _ahead(self, edge: Edge, state: int) -> _Front:
        """Return the ways of a piece, seen from the one ahead, by the option between them."""
        parts = []
        none = self._market.stakes.fits.shape[1]
        for option, onward in enumerate(edge.onward[:, state].tolist()):
            if onward == none or (edge.behind, onward) not in self._stages:
                continue
            ways = self._stages[edge.behind, onward][-1]
            number = np.arange(len(ways.demand))
            cost = self._market.stakes.pair if option else 0
            parts.append((ways.demand, ways.worth - cost, np.full_like(number, option), number))
        if not parts:
            empty = np.empty(0, np.int64)
            return _Front(empty, empty, empty, empty)
        return _undominated(*(np.concatenate(each) for each in zip(*parts, strict=True)))

    def _joined(self, ways: _Front, options: _Front, kind: int, state: int, rest: int) -> _Front:
        first, second = len(ways.demand), len(options.demand)
        self._work -= first * second + _MERGE
        if self._work < 0:
            raise TooMuchError
        demand = (ways.demand[:, None] + options.demand).ravel()
        worth = (ways.worth[:, None] + options.worth).ravel()
        joined = _Front(
            demand, worth, np.repeat(np.arange(first), second), np.tile(np.arange(second), first)
        )
        return self._kept(joined, kind, state, rest)

    def _kept(self, ways: _Front, kind: int, state: int, rest: int) -> _Front:
        """Leave out ways that cannot come up to what is asked for, and those that are beaten."""
        scale, price = 1 << self._pricing.shift, self._pricing.price
        above = self._least - int(self._outer[kind, state]) - rest
        good = ways.worth * scale - ways.demand * price >= above
        good &= ways.demand <= self._market.stakes.capacity
        return _undominated(
            ways.demand[good], ways.worth[good], ways.first[good], ways.second[good]
        )


def _undominated(demand: _Rows, worth: _Rows, first: _Rows, second: _Rows) -> _Front:
    order = np.lexsort((second, first, -worth, demand))
    demand, worth = demand[order], worth[order]
    better = np.ones(len(order), bool)
    better[1:] = worth[1:] > np.maximum.accumulate(worth)[:-1]
    order = order[better]
    return _Front(demand[better], worth[better], first[order], second[order])
