"""What a block entity keeps, and what a number kept there stands for.

Data is written with plain Python values: a dict is a compound, a list is a list, and everything
else is a `Tagged` value that says of which width it is.
"""

from __future__ import annotations

import math
import struct
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

INTEGERS = ("byte", "short", "int", "long")
ARRAYS = {"byte_array": "byte", "int_array": "int", "long_array": "long"}


@dataclass(frozen=True)
class Tagged:
    """A value with the name of its width: byte, short, int, long, float, double, string, ..."""

    kind: str
    value: Any


def steps_of(path: str | list[str | int]) -> tuple[str | int, ...]:
    """Return the steps of a path as a catalogue gives it: one key alone, or a list."""
    return (path,) if isinstance(path, str) else tuple(path)


def follow(data: dict[str, Any], path: tuple[str | int, ...]) -> Any:
    """Return what stands at a path, or None where the path leads nowhere."""
    here: Any = data
    for step in path:
        if isinstance(here, Tagged) and here.kind in ARRAYS:
            here = [Tagged(ARRAYS[here.kind], value) for value in here.value]
        try:
            here = here[step]
        except (TypeError, LookupError):
            return None
    return here


def meaning(found: Any) -> Fraction | None:
    """Return the exact number that a stored value means, or None where it cannot be used."""
    if not isinstance(found, Tagged):
        return None
    if found.kind in INTEGERS:
        number = Fraction(found.value)
    elif found.kind in ("float", "double") and math.isfinite(found.value):
        number = Fraction(shortest_decimal(found.kind, found.value))
    else:
        return None
    return number if abs(number) <= 10**9 else None


def shortest_decimal(kind: str, real: float) -> Decimal:
    """Return the shortest decimal that reads back as the same float of its width.

    >>> shortest_decimal("float", 0.10000000149011612)
    Decimal('0.1')
    """
    layout = "<f" if kind == "float" else "<d"
    kept = struct.pack(layout, real)
    for digits in range(1, 18):
        text = f"{real:.{digits}g}"
        if struct.pack(layout, float(text)) == kept:
            return Decimal(text)
    raise AssertionError(f"17 digits tell any two doubles apart, {real!r} included")
