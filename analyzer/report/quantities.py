"""Quantities as machines and people get them: a number and its exact text, or nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from analyzer.base.exact import MAX_DIGITS, decimal_text, exact_text, plain_number
from analyzer.base.place import Block


def quantity(name: str, value: Fraction | None) -> dict[str, Any]:
    """Return a quantity under its name as a number and under ``<name>_exact`` as text.

    Both are None where the quantity does not exist; the text also where it would be longer than
    `MAX_DIGITS`, and the number where no double is large enough.

    >>> quantity("rpm", Fraction(-320, 3))
    {'rpm': -106.66666666666667, 'rpm_exact': '-320/3'}
    """
    number, exact = _written(value)
    return {name: number, f"{name}_exact": exact}


@lru_cache(maxsize=65_536)
def _written(value: Fraction | None) -> tuple[int | float | None, str | None]:
    # Many parts and networks have the same.
    return number_of(value), exact_of(value)


def exact_of(value: Fraction | None) -> str | None:
    """Return the exact text of a quantity, or None where there is none or it is too long."""
    return exact_text(value) if value is not None and _is_short(value) else None


def number_of(value: Fraction | None) -> int | float | None:
    """Return a quantity as a number, or None where there is none or no double is large enough."""
    if value is None:
        return None
    if _is_short(value):
        return plain_number(value)
    try:
        return float(value)
    except OverflowError:
        return None


def amount(value: Fraction | None, unit: str) -> str:
    """Write a quantity for people, with its unit.

    >>> amount(Fraction(1024), "rpm"), amount(None, "rpm")
    ('1,024 rpm', 'unknown')
    """
    if value is None:
        return "unknown"
    if not _is_short(value):
        bits = math.log2(abs(value.numerator)) - math.log2(value.denominator)
        return f"about {'-' if value < 0 else ''}10^{round(bits * math.log10(2))} {unit}"
    return f"{decimal_text(value)} {unit}"


def ratio_text(ratio: Fraction) -> str:
    """Write a ratio exactly, or about where that would be too long.

    >>> ratio_text(Fraction(-5, 3))
    '-5/3'
    """
    return exact_of(ratio) or amount(ratio, "").strip()


def counted(count: int, noun: str, plural: str = "") -> str:
    """Write a count with its noun.

    >>> counted(1, "part"), counted(1200, "part"), counted(2, "entry", "entries")
    ('1 part', '1,200 parts', '2 entries')
    """
    return f"{count:,} {noun if count == 1 else plural or noun + 's'}"


def listed(counts: Mapping[str, int], *, most: int) -> str:
    """Write named counts, the greatest first, and how many names were left out.

    >>> listed({"chest": 2, "barrel": 9, "bell": 1}, most=2)
    'barrel 9, chest 2, and 1 more'
    """
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    shown = [f"{name} {count:,}" for name, count in ordered[:most]]
    if len(ordered) > most:
        shown.append(f"and {len(ordered) - most:,} more")
    return ", ".join(shown)


def place(block: Block) -> str:
    """Write a position as the game's commands take it.

    >>> place(Block(3, 64, -20))
    '3 64 -20'
    """
    return f"{block.x} {block.y} {block.z}"


def _is_short(value: Fraction) -> bool:
    # Decimal digits from bits, rounded up: the text itself may be too long to make.
    bits = abs(value.numerator).bit_length() + (
        value.denominator.bit_length() if value.denominator > 1 else 0
    )
    return bits * math.log10(2) <= MAX_DIGITS
