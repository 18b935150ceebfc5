"""Exact ratios as a sign and integer exponents over a coprime basis.

A world has few distinct ratios and many couplings. Over a basis of pairwise coprime integers each
positive rational that occurs is one vector of exponents: multiplying is adding, comparing is
comparing vectors, and both are array work. The basis is found by refinement with greatest common
divisors alone; nothing is factored.

Source: E. Bach, J. Driscoll, J. Shallit, *Factor refinement*, J. Algorithms 15 (1993) 199-222
(the method; cited from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen


def coprime_basis(numbers: Iterable[int]) -> tuple[int, ...]:
    """Return pairwise coprime integers above 1 of which every number is a product of powers.

    Parameters
    ----------
    numbers
        Positive integers; none gives an empty basis.

    Raises
    ------
    ValueError
        Where a number is not positive.

    >>> coprime_basis([12, 18, 25])
    (2, 3, 25)
    """
    basis: set[int] = set()
    for number in sorted(set(numbers)):
        if number < 1:
            raise ValueError(f"{number} is not positive")
        waiting = [number]
        while waiting:
            fresh = waiting.pop()
            if fresh == 1 or fresh in basis:
                continue
            for old in basis:
                shared = math.gcd(fresh, old)
                if shared > 1:
                    basis.remove(old)
                    waiting += [shared, old // shared, fresh // shared]
                    break
            else:
                basis.add(fresh)
    return tuple(sorted(basis))


@dataclass(frozen=True, eq=False)
class RatioTable:
    """Distinct nonzero ratios, addressed by index.

    Parameters
    ----------
    basis
        Pairwise coprime integers above 1, ascending, k of them.
    sign
        +1 or -1 of each ratio, shape (m,), int8.
    exponents
        Exponent of each basis number, shape (m, k), int32.
    """

    basis: tuple[int, ...]
    sign: npt.NDArray[np.int8]
    exponents: npt.NDArray[np.int32]

    def __len__(self) -> int:
        return len(self.sign)

    def __getitem__(self, index: int) -> Fraction:
        """Return one ratio as a fraction; its size is bounded by its exponents alone."""
        above = below = 1
        for base, exponent in zip(self.basis, self.exponents[index].tolist(), strict=True):
            if exponent > 0:
                above *= base**exponent
            elif exponent < 0:
                below *= base**-exponent
        return Fraction(int(self.sign[index]) * above, below)

    def log2(self) -> npt.NDArray[np.float64]:
        """Return the binary logarithm of each ratio's magnitude, shape (m,), to about 1e-9."""
        if not self.basis:
            return np.zeros(len(self), np.float64)
        logs = np.array([math.log2(base) for base in self.basis])
        product: npt.NDArray[np.float64] = self.exponents @ logs
        return product


def tabulate(ratios: Sequence[Fraction]) -> RatioTable:
    """Lay ratios out as a table, in the order given.

    Raises
    ------
    ValueError
        Where a ratio is zero.

    >>> table = tabulate([Fraction(-12, 18), Fraction(1)])
    >>> table.basis, table[0]
    ((2, 3), Fraction(-2, 3))
    """
    if not all(ratios):
        raise ValueError("a ratio is zero")
    basis = coprime_basis(n for ratio in ratios for n in (abs(ratio.numerator), ratio.denominator))
    exponents = np.zeros((len(ratios), len(basis)), np.int32)
    for row, ratio in enumerate(ratios):
        for column, base in enumerate(basis):
            exponents[row, column] = _exponent(abs(ratio.numerator), base) - _exponent(
                ratio.denominator, base
            )
    signs = np.array([1 if ratio > 0 else -1 for ratio in ratios], np.int8)
    return RatioTable(basis=basis, sign=frozen(signs), exponents=frozen(exponents))


def _exponent(number: int, base: int) -> int:
    exponent = 0
    while number % base == 0:
        number //= base
        exponent += 1
    return exponent
