"""A drive with the gears that can be put into it, and what they come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement
from typing import TypeAlias

from analyzer.advice.remedies.drive_tree import Branch

#: Gears to put: (branch by number, factors) pairs.
Gears: TypeAlias = tuple[tuple[int, tuple[Fraction, ...]], ...]


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


class Drive:
    """The branches of a drive, numbered from the trunk on, and what each comes to.

    Parameters
    ----------
    trunk
        The tree.
    factors
        The factors that one pair of gears gives, by the class that it fits.
    steps
        Most pairs on the way to any part.
    capacity
        Most demand with the gears in place; None leaves it unbounded.
    """

    def __init__(
        self,
        trunk: Branch,
        factors: Mapping[str, Sequence[Fraction]],
        steps: int,
        capacity: Fraction | None,
    ) -> None:
        self.order = [trunk]
        for branch in self.order:
            self.order += branch.behind
        self.number = {id(branch): row for row, branch in enumerate(self.order)}
        self.factors = {fits: sorted(own) for fits, own in factors.items()}
        self.all_factors = sorted({factor for own in factors.values() for factor in own})
        self.steps, self.capacity = steps, capacity
        self.whole = self._sums()

    def hopeless(self) -> bool:
        """Tell whether not even the strongest gears everywhere would bring the demand down."""
        trunk = self.order[0]
        strongest = min(self.all_factors[0], Fraction(1)) ** self.steps
        least = trunk.demand_power + (self.whole[0].demand - trunk.demand_power) * strongest
        return self.capacity is not None and least > self.capacity

    def gears_before(self, child: Branch, used: int, budget: int) -> Iterator[tuple[Fraction, ...]]:
        """Yield the gears that can be put on the way to a branch."""
        most = min(self.steps - used, len(child.couplings), budget)
        own = self.factors.get(child.fits or "", [])
        for count in range(most + 1):
            yield from combinations_with_replacement(own, count)

    def couplings(self, gears: Gears) -> tuple[tuple[int, int, Fraction], ...]:
        """Return gears as (coupling, part behind it, factor), by coupling."""
        return tuple(
            sorted(
                (*coupling, factor)
                for number, chosen in gears
                for coupling, factor in zip(
                    sorted(self.order[number].couplings), chosen, strict=False
                )
            )
        )

    def _sums(self) -> list[Whole]:
        """Return what each branch comes to together with all behind it."""
        sums: dict[int, Whole] = {}
        for row in range(len(self.order) - 1, -1, -1):
            branch = self.order[row]
            behind = [sums[self.number[id(child)]] for child in branch.behind]
            uppers = [one.upper for one in behind if one.upper is not None]
            lowers = [one.lower for one in behind if one.lower is not None]
            uppers += [] if branch.upper is None else [branch.upper]
            lowers += [] if branch.lower is None else [branch.lower]
            sums[row] = Whole(
                demand=branch.demand_power + sum((one.demand for one in behind), Fraction(0)),
                rpm=branch.rpm + sum((one.rpm for one in behind), Fraction(0)),
                upper=min(uppers, default=None),
                lower=max(lowers, default=None),
            )
        return [sums[row] for row in range(len(self.order))]


@dataclass(frozen=True)
class Whole:
    """What a branch comes to with all behind it: demand, speed of its machines, bounds."""

    demand: Fraction
    rpm: Fraction
    upper: Fraction | None
    lower: Fraction | None


def within(lower: Fraction | None, upper: Fraction | None, factor: Fraction) -> bool:
    """Tell whether a factor lies within bounds."""
    return (lower is None or factor >= lower) and (upper is None or factor <= upper)


def lost_rpm(rpm: Fraction, factor: Fraction) -> Fraction:
    """Return how much of a speed is lost by a factor."""
    return rpm * (1 - factor) if factor < 1 else Fraction(0)


def product(factors: Sequence[Fraction]) -> Fraction:
    """Multiply factors; none give 1."""
    result = Fraction(1)
    for factor in factors:
        result *= factor
    return result
