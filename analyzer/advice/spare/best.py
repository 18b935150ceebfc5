"""The best choice of gears for a goal, in exact numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.advice.spare.kinds import Kinds, Mask, Numbers, kinds_of, narrowed, states_for
from analyzer.advice.spare.pieces import Piece, Ratios, in_order, shortened
from analyzer.advice.spare.priced import Market, Stakes
from analyzer.advice.spare.settle import settle
from analyzer.advice.spare.spare import Goal, Optimum

#: Most kinds of pieces times states of each that are kept in memory.
MOST_CELLS: Final = 6_000_000
#: Whole numbers below this have a place in 64 bits.
_LARGEST: Final = 2**60


@dataclass(frozen=True, eq=False)
class Best:
    """Gears to put: the ratio before each piece that has some, and how good that is.

    Parameters
    ----------
    trunk
        The drive as it was looked at: without what does not matter.
    ratios
        By the `id` of its pieces.
    optimum
        How it is known that nothing is better.
    """

    trunk: Piece
    ratios: Mapping[int, Fraction]
    optimum: Optimum


def best_choice(
    trunk: Piece, ratios: Ratios, *, goal: Goal, steps: int, capacity: Fraction
) -> Best | None:
    """Choose where to put gears so that the goal is met best.

    Parameters
    ----------
    trunk
        The drive, which keeps to the capacity as it is; it is changed.
    ratios
        The pairs of gears that can be put.
    goal
        What is made greatest.
    steps
        Most pairs on the way to any part.
    capacity
        Most demand.

    Returns
    -------
    Best or None
        None where the drive is too large to be looked into. Of choices as good the one with the
        fewest pairs of gears, then with the least demand; where that would be too large a program,
        one as good.
    """
    most = max((max(pairs, default=Fraction(1)) for pairs in ratios.pairs.values()), default=1)
    trunk = shortened(trunk, Fraction(most) ** steps, steps)
    turning = any(piece.keeps_sense for piece in in_order(trunk))
    kinds = kinds_of(trunk, states_for(ratios, steps, turning=turning), ratios)
    if kinds.fits.size > MOST_CELLS:
        return None
    search = _Search(trunk, kinds, capacity)
    return search.greatest_sum() if goal == "throughput" else search.greatest_share()


class _Search:
    def __init__(self, trunk: Piece, kinds: Kinds, capacity: Fraction) -> None:
        self._trunk, self._kinds = trunk, kinds
        factors = kinds.states.factors
        demands = [piece.demand for piece in kinds.pieces]
        self._demand, self._power = _table(demands, factors)
        self._capacity = math.floor(capacity / self._power)

    def greatest_sum(self) -> Best:
        """Make the sum of worths greatest."""
        worths = [piece.worth for piece in self._kinds.pieces]
        worth, unit = _table(worths, self._kinds.states.factors)
        # A pair of gears takes so little that all pairs together take less than any worth.
        pieces = len(in_order(self._trunk))
        most = sum(int(one) for one in worth.max(axis=1)) * pieces
        whole = pieces if most * pieces < _LARGEST else 1
        stakes = Stakes(worth * whole, self._demand, self._kinds.fits, whole > 1, self._capacity)
        settled = settle(self._trunk, self._kinds, stakes)
        assert settled is not None, "the drive keeps to its capacity as it is"
        found, bound = (-(-one // whole) * unit for one in (settled.found, settled.bound))
        by = settled.by if found == bound else "none"
        return Best(self._trunk, self._ratios(settled.choice), Optimum(by, found, bound))

    def greatest_share(self) -> Best:
        """Make the least share greatest."""
        rank, shares = self._ranked()
        if not shares:
            return Best(self._trunk, {}, Optimum("limits", Fraction(0), Fraction(0)))
        low, high = 0, len(shares)
        while high - low > 1:
            middle = (low + high) // 2
            power = self._least_power(self._above(rank, middle))
            low, high = (middle, high) if self._affords(power) else (low, middle)
        fits = self._above(rank, low)
        stakes = Stakes(np.zeros_like(self._demand), self._demand, fits, 1, self._capacity)
        settled = settle(self._trunk, replace(self._kinds, fits=fits), stakes)
        assert settled is not None, "the least demand was within the capacity"
        optimum = Optimum("limits", shares[low], shares[low])
        if low + 1 < len(shares):
            power = self._least_power(self._above(rank, low + 1))
            if power is not None:
                optimum = Optimum(
                    "demand", shares[low], shares[low], shares[low + 1], power * self._power
                )
        return Best(self._trunk, self._ratios(settled.choice), optimum)

    def _ratios(self, choice: Mapping[int, int]) -> dict[int, Fraction]:
        return {piece: self._kinds.states.ratios[option - 1] for piece, option in choice.items()}

    def _ranked(self) -> tuple[Numbers, list[Fraction]]:
        """Return the rank of each kind's share in each state, and the shares by rank.

        A kind without machines has a rank above all. No share lies below the least as it is.
        """
        factors, fits = self._kinds.states.factors, self._kinds.fits
        own = [piece.share for piece in self._kinds.pieces]
        has = np.array([share is not None for share in own])
        table, unit = _table([share or Fraction(0) for share in own], factors)
        here = fits & has[:, None]
        if not here.any():
            return table, []
        least = int(table[has][:, 0].min())
        values = [one for one in sorted(set(table[here].tolist())) if one >= least]
        rank = np.searchsorted(np.array(values, table.dtype), table, side="right") - 1
        rank[~has] = len(values)
        return rank, [value * unit for value in values]

    def _above(self, rank: Numbers, least: int) -> Mask:
        return narrowed(self._kinds, rank >= least)

    def _least_power(self, fits: Mask) -> int | None:
        if not fits[self._kinds.trunk, 0]:
            return None
        stakes = Stakes(np.zeros_like(self._demand), self._demand, fits, 0, self._capacity)
        return Market(self._kinds, stakes).plan(0, 1).demand

    def _affords(self, power: int | None) -> bool:
        return power is not None and power <= self._capacity


def _table(values: Sequence[Fraction], factors: Sequence[Fraction]) -> tuple[Numbers, Fraction]:
    """Return values times factors in whole numbers, and what one of them is worth.

    The unit divides all entries, and no larger one does.
    """
    scales = [math.lcm(*(one.denominator for one in each)) for each in (values, factors)]
    rows = [int(value * scales[0]) for value in values]
    columns = [int(factor * scales[1]) for factor in factors]
    common = [math.gcd(*each) or 1 for each in (rows, columns)]
    rows = [row // common[0] for row in rows]
    columns = [column // common[1] for column in columns]
    large = max(map(abs, rows), default=0) * max(map(abs, columns), default=0) >= _LARGEST
    kind = object if large else np.int64
    table = np.outer(np.array(rows, kind), np.array(columns, kind))
    return table, Fraction(common[0] * common[1], scales[0] * scales[1])
