"""Whether a speed that a save recorded is the one that was found."""

from __future__ import annotations

import math
import struct
from fractions import Fraction

from tests.judge.parts import Record

#: Bits of a float's fraction, and the exponent of its smallest step, by width (IEEE 754).
FRACTION_BITS = {"float": 23, "double": 52}
SMALLEST_STEP = {"float": -149, "double": -1074}
#: A recorded float may be this many units in its last place away.
LAST_PLACES = 2


def agrees(record: Record, speed: Fraction | None, *, stands_still: bool) -> bool:
    """Return whether a recorded speed agrees with the solved one, None where there is none.

    The solved one, in the unit of what is stored, is rounded to the width of the stored one; a
    float may then be 2 units in the last place away, an integer has to be the nearest (or one of
    the two nearest). In a network that stands still 0 agrees as well.
    """
    kind, value = record.stored.kind, record.stored.value
    if stands_still and value == 0:
        return True
    if speed is None:
        return False
    wanted = speed / record.unit
    if kind not in FRACTION_BITS:
        return abs(wanted - value) <= Fraction(1, 2)
    rounded = _rounded(wanted, kind)
    if rounded is None:
        return False
    return abs(rounded - Fraction(value)) <= LAST_PLACES * last_place(value, kind)


def last_place(value: float, kind: str) -> Fraction:
    """Return the unit in the last place of a float of that width.

    >>> last_place(1.0, "double") == Fraction(math.ulp(1.0))
    True
    """
    if value == 0:
        return Fraction(2) ** SMALLEST_STEP[kind]
    exponent = math.frexp(value)[1] - 1
    return Fraction(2) ** max(exponent - FRACTION_BITS[kind], SMALLEST_STEP[kind])


def _rounded(number: Fraction, kind: str) -> Fraction | None:
    """Return the nearest float of that width; None where the number is beyond all of them."""
    try:
        (found,) = struct.unpack("<f", struct.pack("<f", number)) if kind == "float" else (number,)
        return Fraction(float(found))
    except OverflowError:
        return None
