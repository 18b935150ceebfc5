"""Which decimals read back as one float: told by its neighbours, in exact numbers."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

import numpy as np


def reads_back(decimal: Fraction, value: np.floating) -> bool:
    """Return whether a decimal is nearer to a float than to its neighbours.

    Halfway it is rounded to the one whose last bit is 0 (IEEE 754, to nearest, ties to even).
    """
    low, high = _halfways(value)
    return low <= decimal <= high if _is_even(value) else low < decimal < high


def is_shortest(decimal: Fraction, value: np.floating) -> bool:
    """Return whether no decimal of fewer digits reads back as a float other than 0."""
    step = Fraction(1)
    while (decimal / step).denominator != 1:
        step /= 10
    while (decimal / (10 * step)).denominator == 1:
        step *= 10
    low, high = _halfways(value)
    around = range(floor(low / (10 * step)), ceil(high / (10 * step)) + 1)
    return not any(reads_back(10 * step * number, value) for number in around)


def _halfways(value: np.floating) -> tuple[Fraction, Fraction]:
    to = value.dtype.type(np.inf)
    exact = Fraction(float(value))
    below, above = (Fraction(float(np.nextafter(value, end))) for end in (-to, to))
    return (below + exact) / 2, (exact + above) / 2


def _is_even(value: np.floating) -> bool:
    return value.tobytes()[0] % 2 == 0
