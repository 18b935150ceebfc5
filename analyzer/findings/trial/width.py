"""What a recorded speed can stand for, given the width at which it was stored.

Two speeds are held equal if one, rounded to the other's width, is within two units in the last
place of it; the stored whole number is within half of one.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, Final, TypeAlias

import numpy as np

#: Steps between neighbouring floats by which a recorded speed may differ.
FLOAT_STEPS: Final = 2
#: Most of the usual ratios that are tried as the true one.
MOST_TRIED: Final = 3

#: Least and greatest value that a number may have.
Span: TypeAlias = tuple[Fraction, Fraction]

_FLOATS: Final[dict[int, type[np.floating[Any]]]] = {5: np.float32, 6: np.float64}


@dataclass(frozen=True)
class Reading:
    """A recorded speed.

    Parameters
    ----------
    stored
        The number as it is stored.
    unit
        The speed in rpm about the part's positive world axis that a stored 1 stands for.
    tag
        NBT tag number: 1 to 4 integers, 5 and 6 floats.
    """

    stored: Fraction
    unit: Fraction
    tag: int

    @cached_property
    def rpm(self) -> Fraction:
        """The recorded speed in rpm about the part's positive world axis."""
        return self.stored * self.unit

    def agrees(self, rpm: Fraction) -> bool:
        """Tell whether a speed, rounded to the width of storage, is what was recorded.

        >>> Reading(Fraction(7), Fraction(1), 3).agrees(Fraction(15, 2))
        True
        """
        speed = rpm / self.unit
        kind = _FLOATS.get(self.tag)
        if kind is None:
            return abs(speed - self.stored) <= Fraction(1, 2)
        below, above = _stepped(kind(float(self.stored)), FLOAT_STEPS)
        low, high = _rounding(below)[0], _rounding(above)[1]
        if low < speed < high:
            return True
        # A tie goes to the float with the even last digit.
        return (speed == low and _is_even(below)) or (speed == high and _is_even(above))

    @cached_property
    def span_rpm(self) -> Span:
        """The least and greatest speed that may have been rounded to what was recorded."""
        kind = _FLOATS.get(self.tag)
        if kind is None:
            return self._ordered(self.stored - Fraction(1, 2), self.stored + Fraction(1, 2))
        return self._ordered(*_rounding(kind(float(self.stored))))

    @cached_property
    def allowed_rpm(self) -> Span:
        """The least and greatest speed that agree with what was recorded."""
        kind = _FLOATS.get(self.tag)
        if kind is None:
            return self.span_rpm
        below, above = _stepped(kind(float(self.stored)), FLOAT_STEPS)
        return self._ordered(_rounding(below)[0], _rounding(above)[1])

    @property
    def fineness(self) -> int:
        """How finely it is stored: whole numbers 0, floats by their width."""
        return self.tag if self.tag in _FLOATS else 0

    def _ordered(self, low: Fraction, high: Fraction) -> Span:
        ends = (low * self.unit, high * self.unit)
        return min(ends), max(ends)


def ratio_span(a: Reading, b: Reading) -> Span:
    """Return the least and greatest ratio of b's speed to a's with which both records agree.

    Parameters
    ----------
    a, b
        Recorded speeds, neither of them 0. The first counts as exact unless it is stored more
        coarsely than the other, or both as whole numbers: then its rounding comes on top.
    """
    exact = a.fineness >= b.fineness and a.fineness > 0
    divisors = (a.rpm, a.rpm) if exact else a.span_rpm
    ends = [value / divisor for value in b.allowed_rpm for divisor in divisors]
    return min(ends), max(ends)


def simplest_between(low: Fraction, high: Fraction) -> Fraction:
    """Return the fraction with the least denominator in a closed interval.

    Source: the method of continued fractions (Stern 1858, Brocot 1861; from memory).

    >>> simplest_between(Fraction(79, 100), Fraction(81, 100))
    Fraction(4, 5)
    """
    if low <= 0 <= high:
        return Fraction(0)
    if high < 0:
        return -simplest_between(-high, -low)
    whole = math.ceil(low)
    if whole <= high:
        return Fraction(whole)
    whole -= 1
    return whole + 1 / simplest_between(1 / (high - whole), 1 / (low - whole))


def telling_spans(spans: Mapping[Span, int]) -> list[Span]:
    """Return the spans that say most of one number that is looked for.

    Parameters
    ----------
    spans
        Spans in which it may lie, with how often each occurs. Those around 0 say nothing.

    Returns
    -------
    spans
        The most usual ones, and what the narrow ones have in common: whole numbers say little of
        a ratio one by one. None gives none.
    """
    telling = {span: count for span, count in spans.items() if not span[0] <= 0 <= span[1]}
    if not telling:
        return []
    narrow = sorted(telling, key=lambda span: (span[1] - span[0], span))
    common = narrow[0]
    for low, high in narrow[1:]:
        shared = (max(low, common[0]), min(high, common[1]))
        if shared[0] <= shared[1]:
            common = shared
    return [*sorted(telling, key=lambda span: (-telling[span], span))[:MOST_TRIED], common]


def _stepped(value: np.floating[Any], steps: int) -> tuple[np.floating[Any], np.floating[Any]]:
    below = above = value
    kind = type(value)
    for _ in range(steps):
        below = np.nextafter(below, kind(-np.inf))
        above = np.nextafter(above, kind(np.inf))
    return below, above


def _rounding(value: np.floating[Any]) -> Span:
    """Return the middles between a float and its neighbours: what lies between rounds to it."""
    below, above = _stepped(value, 1)
    here = Fraction(float(value))
    return (Fraction(float(below)) + here) / 2, (here + Fraction(float(above))) / 2


def _is_even(value: np.floating[Any]) -> bool:
    return not int.from_bytes(value.tobytes(), sys.byteorder) & 1
