"""Exact numbers and how they are written.

Every quantity of the result is a `fractions.Fraction`. People and machines get it twice: as the
nearest decimal number, and exactly.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

#: Most digits of an exact quantity in output, numerator and denominator together.
MAX_DIGITS: Final = 160


def exact_text(value: Fraction) -> str:
    """Write a number exactly: an integer, or a fraction such as ``-320/3``.

    >>> exact_text(Fraction(-320, 3)), exact_text(Fraction(8))
    ('-320/3', '8')
    """
    return str(value)


def plain_number(value: Fraction) -> int | float:
    """Return an integer as an int and anything else as the nearest double.

    >>> plain_number(Fraction(8)), plain_number(Fraction(1, 4))
    (8, 0.25)
    """
    return value.numerator if value.denominator == 1 else float(value)


def decimal_text(value: Fraction, places: int = 2) -> str:
    """Write a number for people: grouped thousands, at most that many decimals.

    A number that the decimals cannot hold exactly is rounded half to even and marked with ``~``.

    >>> decimal_text(Fraction(-320, 3)), decimal_text(Fraction(1024)), decimal_text(Fraction(1, 2))
    ('~-106.67', '1,024', '0.5')
    """
    scaled = value * 10**places
    whole = round(scaled)
    text = f"{abs(whole) // 10**places:,}"
    rest = f"{abs(whole) % 10**places:0{places}d}".rstrip("0") if places else ""
    sign = "-" if whole < 0 else ""
    return f"{'' if scaled == whole else '~'}{sign}{text}{'.' + rest if rest else ''}"


def stored_number(tag: int, integer: int, real: float) -> Fraction | None:
    """Return the exact value that a stored number stands for.

    An integer tag is exact. A float tag means the shortest decimal that reads back as the same
    float of its width (a float of 4 bytes holding 0.1 means 1/10). Minus zero is 0.

    Parameters
    ----------
    tag
        NBT tag number: 1 to 4 integers, 5 a 4-byte float, 6 an 8-byte float.
    integer, real
        The value, in the one that fits the tag.

    Returns
    -------
    Fraction or None
        None for a tag that is no number, NaN, an infinity, or a magnitude beyond 10^9.

    >>> import numpy as np
    >>> stored_number(5, 0, float(np.float32(0.1)))
    Fraction(1, 10)
    """
    if 1 <= tag <= 4:
        value = Fraction(integer)
    elif tag in (5, 6) and math.isfinite(real):
        value = Fraction(_shortest_single(real) if tag == 5 else repr(real))
    else:
        return None
    return value if abs(value) <= 10**9 else None


def _shortest_single(real: float) -> str:
    import numpy as np

    return np.format_float_scientific(np.float32(real), unique=True)
