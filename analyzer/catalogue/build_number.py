"""From numbers, paths and cells of a document without mistakes to what they describe."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from analyzer.catalogue.catalogue import ByProperty, Cell, Constant, DataPath, Number, Stored


def build_number(value: int | Decimal | dict[str, Any]) -> Number:
    """Return the number that a constant, or a table with property or stored, gives."""
    if not isinstance(value, dict):
        return Constant(Fraction(value))
    if "property" in value:
        return ByProperty(
            value["property"],
            tuple((name, Fraction(number)) for name, number in sorted(value["values"].items())),
        )
    return build_stored(value)


def build_stored(table: dict[str, Any]) -> Stored:
    """Return the stored number that a table gives."""
    default = table.get("default")
    return Stored(
        path=build_path(table["stored"]),
        scale=Fraction(table.get("scale", 1)),
        default=None if default is None else Fraction(default),
    )


def build_path(value: str | list[str | int]) -> DataPath:
    """Return the path that one key or a list of steps gives."""
    return (value,) if isinstance(value, str) else tuple(value)


def build_cell(value: list[int] | None) -> Cell:
    """Return the cell that three steps give; the part's own block for None."""
    if value is None:
        return (0, 0, 0)
    front, top, right = value
    return (front, top, right)
