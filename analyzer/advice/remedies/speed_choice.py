"""The fewest pairs of gears that bring a drive within its bounds, and the least speed lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import combinations_with_replacement
from typing import Final, TypeAlias

from analyzer.advice.remedies.drive import Drive, Gears, SpeedChoice, lost_rpm, product, within
from analyzer.advice.remedies.drive_tree import Branch
from analyzer.advice.remedies.some_speeds import some_speeds

#: Most pairs of gears that are tried together, and most ways that are looked at on the way.
MOST_PAIRS: Final = 12
WORK: Final = 250_000

#: Speed lost, demand, gears.
_Way: TypeAlias = tuple[Fraction, Fraction, Gears]
#: A factor of the speeds, and how many pairs of gears lie before it.
_At: TypeAlias = tuple[Fraction, int]
#: Ways by how many pairs of gears they take.
_Ways: TypeAlias = list[list[_Way]]


class _TooMuchError(Exception):
    """More work than the search may do."""


def choose_speeds(
    trunk: Branch,
    factors: Mapping[str, Sequence[Fraction]],
    *,
    steps: int,
    capacity: Fraction | None,
) -> SpeedChoice | None:
    """Choose where to put gears.

    Parameters
    ----------
    trunk
        The drive; the branches' bounds have to hold afterwards.
    factors
        The factors that one pair of gears gives, by the class that it fits.
    steps
        Most pairs on the way to any part.
    capacity
        Most demand afterwards; None leaves it unbounded.

    Returns
    -------
    SpeedChoice or None
        The fewest pairs, of these the least speed lost, of these the least demand, of these the
        couplings first by number and the mildest gears. Where that would take too long, some
        choice, with a bound of the number of pairs. None where no choice was found.

    Notes
    -----
    Dynamic programming over the tree: for each branch and each factor that can reach it, the ways
    that are best in speed lost and in demand at once.
    """
    if not any(factors.values()) or steps < 1:
        return None
    drive = Drive(trunk, factors, steps, capacity)
    if drive.hopeless():
        return None
    search = _Search(drive)
    pairs = 1
    try:
        while pairs <= MOST_PAIRS:
            found = search.best(pairs)
            if found is not None:
                return found
            pairs += 1
    except _TooMuchError:
        pass
    return some_speeds(drive, pairs)


class _Search:
    def __init__(self, drive: Drive) -> None:
        self._drive, self._work = drive, 0

    def best(self, pairs: int) -> SpeedChoice | None:
        """Return the best choice of just so many pairs."""
        tables: dict[int, dict[_At, _Ways]] = {}
        for row in range(len(self._drive.order) - 1, -1, -1):
            tables[row] = {
                at: self._ways(tables, row, at, pairs - at[1])
                for at in (self._reachable(pairs) if row else [(Fraction(1), 0)])
            }
        ways = tables[0][Fraction(1), 0][pairs]
        good = [
            way for way in ways if self._drive.capacity is None or way[1] <= self._drive.capacity
        ]
        if not good:
            return None
        lost, _, gears = min(good, key=lambda way: (way[0], way[1], self._mildest(way[2])))
        return SpeedChoice(self._drive.couplings(gears), lost, pairs)

    def _reachable(self, pairs: int) -> list[_At]:
        """Return the factors that can reach a branch behind which gears may still be put."""
        found: list[_At] = [(Fraction(1), 0)]
        for used in range(1, min(self._drive.steps, pairs)):
            products = {
                product(chosen)
                for chosen in combinations_with_replacement(self._drive.all_factors, used)
            }
            found += [(product, used) for product in sorted(products)]
        return found

    def _ways(self, tables: dict[int, dict[_At, _Ways]], row: int, at: _At, budget: int) -> _Ways:
        """Return the ways from a branch on that turns at some factor, by pairs up to a budget."""
        branch, (factor, _) = self._drive.order[row], at
        ways: _Ways = [[] for _ in range(budget + 1)]
        if not within(branch.lower, branch.upper, factor):
            return ways
        ways[0] = [
            (lost_rpm(branch.rpm, factor), branch.demand_power * factor, ()),
        ]
        for child in branch.behind:
            number = self._drive.number[id(child)]
            options: _Ways = [[] for _ in range(budget + 1)]
            for chosen in self._drive.gears_before(child, at[1], budget):
                used = len(chosen)
                self._work += 1
                if self._work > WORK:
                    raise _TooMuchError
                onward = (factor * product(chosen), at[1] + used)
                rest = self._onward(tables, number, onward, budget - used)
                mark: Gears = ((number, chosen),) if chosen else ()
                for more, found in enumerate(rest):
                    options[used + more] += [
                        (lost, demand, mark + gears) for lost, demand, gears in found
                    ]
            ways = self._joined(ways, [self._front(one) for one in options], budget)
        return ways

    def _onward(self, tables: dict[int, dict[_At, _Ways]], row: int, at: _At, budget: int) -> _Ways:
        if budget > 0 and at[1] < self._drive.steps:
            return tables[row][at][: budget + 1]
        whole, factor = self._drive.whole[row], at[0]
        if not within(whole.lower, whole.upper, factor):
            return [[]]
        return [[(lost_rpm(whole.rpm, factor), whole.demand * factor, ())]]

    def _joined(self, ways: _Ways, options: _Ways, budget: int) -> _Ways:
        joined: _Ways = [[] for _ in range(budget + 1)]
        for first, left in enumerate(ways):
            for second, right in enumerate(options[: budget + 1 - first]):
                self._work += len(left) * len(right)
                if self._work > WORK:
                    raise _TooMuchError
                joined[first + second] += [
                    (lost + more, demand + also, gears + others)
                    for lost, demand, gears in left
                    for more, also, others in right
                ]
        return [self._front(one) for one in joined]

    def _front(self, ways: list[_Way]) -> list[_Way]:
        """Return the ways that no other beats in speed lost and in demand."""
        if len(ways) < 2:
            return ways
        self._work += len(ways)
        kept: list[_Way] = []
        for way in sorted(ways, key=lambda one: one[:2]):
            if not kept or way[1] < kept[-1][1]:
                kept.append(way)
            elif way[:2] == kept[-1][:2] and self._mildest(way[2]) < self._mildest(kept[-1][2]):
                kept[-1] = way
        return kept

    def _mildest(self, gears: Gears) -> tuple[tuple[int, int, Fraction], ...]:
        """Return what orders gears that are as good: by coupling, then the least change."""
        found = self._drive.couplings(gears)
        return tuple((one, part, max(factor, 1 / factor)) for one, part, factor in found)
