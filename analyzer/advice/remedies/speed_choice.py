"""The fewest pairs of gears that bring a drive within its bounds, and the least speed lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement
from typing import Final, TypeAlias

from analyzer.advice.remedies.drive_tree import Branch

#: Most pairs of gears that are tried together, and most ways that are looked at on the way.
MOST_PAIRS: Final = 12
WORK: Final = 250_000

#: Gears to put: (branch by number, factors) pairs.
Gears: TypeAlias = tuple[tuple[int, tuple[Fraction, ...]], ...]
#: Speed lost, demand, gears.
_Way: TypeAlias = tuple[Fraction, Fraction, Gears]
#: A factor of the speeds, and how many pairs of gears lie before it.
_At: TypeAlias = tuple[Fraction, int]
#: Ways by how many pairs of gears they take.
_Ways: TypeAlias = list[list[_Way]]


@dataclass(frozen=True)
class SpeedChoice:
    """Gears to put: couplings with the factor of the speed behind each, and whether none is less.

    Parameters
    ----------
    gears
        (coupling, part behind it, factor) triples; factors above 0.
    lost_rpm
        Sum of the speeds that machines lose.
    bound
        No fewer pairs do.
    least
        Whether no choice is better in any way; else it is the best so far.
    """

    gears: tuple[tuple[int, int, Fraction], ...]
    lost_rpm: Fraction
    bound: int
    least: bool = True


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
    search = _Search(trunk, factors, steps, capacity)
    if search.hopeless():
        return None
    pairs = 1
    try:
        while pairs <= MOST_PAIRS:
            found = search.best(pairs)
            if found is not None:
                return found
            pairs += 1
    except _TooMuchError:
        pass
    return search.some(pairs)


class _Search:
    def __init__(
        self,
        trunk: Branch,
        factors: Mapping[str, Sequence[Fraction]],
        steps: int,
        capacity: Fraction | None,
    ) -> None:
        self._order = [trunk]
        for branch in self._order:
            self._order += branch.behind
        self._number = {id(branch): row for row, branch in enumerate(self._order)}
        self._factors = {fits: sorted(own) for fits, own in factors.items()}
        self._all = sorted({factor for own in factors.values() for factor in own})
        self._steps, self._capacity = steps, capacity
        self._whole = self._sums()
        self._work = 0

    def hopeless(self) -> bool:
        """Tell whether not even the strongest gears everywhere would bring the demand down."""
        trunk = self._order[0]
        strongest = min(self._all[0], Fraction(1)) ** self._steps
        least = trunk.demand_power + (self._whole[0].demand - trunk.demand_power) * strongest
        return self._capacity is not None and least > self._capacity

    def best(self, pairs: int) -> SpeedChoice | None:
        """Return the best choice of just so many pairs."""
        tables: dict[int, dict[_At, _Ways]] = {}
        for row in range(len(self._order) - 1, -1, -1):
            tables[row] = {
                at: self._ways(tables, row, at, pairs - at[1])
                for at in (self._reachable(pairs) if row else [(Fraction(1), 0)])
            }
        ways = tables[0][Fraction(1), 0][pairs]
        good = [way for way in ways if self._capacity is None or way[1] <= self._capacity]
        if not good:
            return None
        lost, _, gears = min(good, key=lambda way: (way[0], way[1], self._mildest(way[2])))
        return SpeedChoice(self._couplings(gears), lost, pairs)

    def some(self, bound: int) -> SpeedChoice | None:
        """Return a choice made branch by branch from the trunk on: mild gears, where they do."""
        if not _within(self._order[0].lower, self._order[0].upper, Fraction(1)):
            return None
        chosen = self._relieved() if self._whole_fits(0) else self._bounded()
        if chosen is None:
            return None
        gears = tuple(sorted(chosen.items()))
        demand, lost = self._effect(chosen)
        if self._capacity is not None and demand > self._capacity:
            return None
        couplings = self._couplings(gears)
        return SpeedChoice(couplings, lost, min(bound, len(couplings)), least=False)

    def _whole_fits(self, row: int, factor: Fraction = Fraction(1)) -> bool:
        whole = self._whole[row]
        return _within(whole.lower, whole.upper, factor)

    def _bounded(self) -> dict[int, tuple[Fraction, ...]] | None:
        """Bring each branch within its bounds with all behind it, as near the trunk as may be."""
        chosen: dict[int, tuple[Fraction, ...]] = {}
        waiting = [0]
        for row in waiting:
            branch = self._order[row]
            if not _within(branch.lower, branch.upper, Fraction(1)):
                return None
            for child in branch.behind:
                number = self._number[id(child)]
                if self._whole_fits(number):
                    continue
                fit = [
                    gears
                    for gears in self._chosen(child, 0, self._steps)
                    if self._whole_fits(number, _product(gears))
                ]
                if fit:
                    mildest = min(
                        fit, key=lambda gears: (len(gears), abs(_product(gears) - 1), gears)
                    )
                    chosen[number] = mildest
                else:
                    waiting.append(number)
        return chosen

    def _relieved(self) -> dict[int, tuple[Fraction, ...]]:
        """Slow what asks for most, one branch after the other, until the demand is met."""
        chosen: dict[int, tuple[Fraction, ...]] = {}
        over = self._whole[0].demand - (self._capacity or Fraction(0))
        waiting = list(self._order[0].behind)
        for child in sorted(waiting, key=lambda one: -self._whole[self._number[id(one)]].demand):
            if over <= 0:
                break
            number = self._number[id(child)]
            fit = [
                gears
                for gears in self._chosen(child, 0, self._steps)
                if gears and _product(gears) < 1 and self._whole_fits(number, _product(gears))
            ]
            whole = self._whole[number].demand
            enough = [gears for gears in fit if whole * (1 - _product(gears)) >= over]
            if enough:
                best = max(enough, key=lambda gears: (-len(gears), _product(gears)))
            elif fit:
                best = min(fit, key=_product)
            else:
                continue
            chosen[number] = best
            over -= whole * (1 - _product(best))
        return chosen

    def _effect(self, chosen: dict[int, tuple[Fraction, ...]]) -> tuple[Fraction, Fraction]:
        """Return demand and speed lost with some gears, of which none lie behind others."""
        demand, lost = self._whole[0].demand, Fraction(0)
        for number, gears in chosen.items():
            whole, factor = self._whole[number], _product(gears)
            demand += whole.demand * (factor - 1)
            lost += _lost(whole.rpm, factor)
        return demand, lost

    def _reachable(self, pairs: int) -> list[_At]:
        """Return the factors that can reach a branch behind which gears may still be put."""
        found: list[_At] = [(Fraction(1), 0)]
        for used in range(1, min(self._steps, pairs)):
            products = {
                _product(chosen) for chosen in combinations_with_replacement(self._all, used)
            }
            found += [(product, used) for product in sorted(products)]
        return found

    def _ways(self, tables: dict[int, dict[_At, _Ways]], row: int, at: _At, budget: int) -> _Ways:
        """Return the ways from a branch on that turns at some factor, by pairs up to a budget."""
        branch, (factor, _) = self._order[row], at
        ways: _Ways = [[] for _ in range(budget + 1)]
        if not _within(branch.lower, branch.upper, factor):
            return ways
        ways[0] = [
            (_lost(branch.rpm, factor), branch.demand_power * factor, ()),
        ]
        for child in branch.behind:
            number = self._number[id(child)]
            options: _Ways = [[] for _ in range(budget + 1)]
            for chosen in self._chosen(child, at[1], budget):
                used = len(chosen)
                self._work += 1
                if self._work > WORK:
                    raise _TooMuchError
                onward = (factor * _product(chosen), at[1] + used)
                rest = self._onward(tables, number, onward, budget - used)
                mark: Gears = ((number, chosen),) if chosen else ()
                for more, found in enumerate(rest):
                    options[used + more] += [
                        (lost, demand, mark + gears) for lost, demand, gears in found
                    ]
            ways = self._joined(ways, [self._front(one) for one in options], budget)
        return ways

    def _chosen(self, child: Branch, used: int, budget: int) -> Iterator[tuple[Fraction, ...]]:
        """Yield the gears that can be put on the way to a branch."""
        most = min(self._steps - used, len(child.couplings), budget)
        own = self._factors.get(child.fits or "", [])
        for count in range(most + 1):
            yield from combinations_with_replacement(own, count)

    def _onward(self, tables: dict[int, dict[_At, _Ways]], row: int, at: _At, budget: int) -> _Ways:
        if budget > 0 and at[1] < self._steps:
            return tables[row][at][: budget + 1]
        whole, factor = self._whole[row], at[0]
        if not _within(whole.lower, whole.upper, factor):
            return [[]]
        return [[(_lost(whole.rpm, factor), whole.demand * factor, ())]]

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
        found = self._couplings(gears)
        return tuple((one, part, max(factor, 1 / factor)) for one, part, factor in found)

    def _couplings(self, gears: Gears) -> tuple[tuple[int, int, Fraction], ...]:
        return tuple(
            sorted(
                (*coupling, factor)
                for number, chosen in gears
                for coupling, factor in zip(
                    sorted(self._order[number].couplings), chosen, strict=False
                )
            )
        )

    def _sums(self) -> list[_Whole]:
        """Return what each branch comes to together with all behind it."""
        sums: dict[int, _Whole] = {}
        for row in range(len(self._order) - 1, -1, -1):
            branch = self._order[row]
            behind = [sums[self._number[id(child)]] for child in branch.behind]
            uppers = [one.upper for one in behind if one.upper is not None]
            lowers = [one.lower for one in behind if one.lower is not None]
            uppers += [] if branch.upper is None else [branch.upper]
            lowers += [] if branch.lower is None else [branch.lower]
            sums[row] = _Whole(
                demand=branch.demand_power + sum((one.demand for one in behind), Fraction(0)),
                rpm=branch.rpm + sum((one.rpm for one in behind), Fraction(0)),
                upper=min(uppers, default=None),
                lower=max(lowers, default=None),
            )
        return [sums[row] for row in range(len(self._order))]


@dataclass(frozen=True)
class _Whole:
    demand: Fraction
    rpm: Fraction
    upper: Fraction | None
    lower: Fraction | None


def _within(lower: Fraction | None, upper: Fraction | None, factor: Fraction) -> bool:
    return (lower is None or factor >= lower) and (upper is None or factor <= upper)


def _lost(rpm: Fraction, factor: Fraction) -> Fraction:
    return rpm * (1 - factor) if factor < 1 else Fraction(0)


def _product(factors: Sequence[Fraction]) -> Fraction:
    product = Fraction(1)
    for factor in factors:
        product *= factor
    return product
