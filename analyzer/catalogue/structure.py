"""Checking a document against the format's shapes: keys, kinds of values, single numbers."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from analyzer.catalogue.bounds import LARGEST, Bound
from analyzer.catalogue.format import MOST_DIGITS
from analyzer.catalogue.notes import KeyPath, Notes, hint, said
from analyzer.catalogue.shapes import (
    Demands,
    Either,
    Exact,
    Fixed,
    Flag,
    Many,
    Named,
    Shape,
    Table,
    Text,
    Whole,
    Word,
)


def check_shape(value: Any, shape: Shape, path: KeyPath, notes: Notes) -> None:
    """Note every way in which a value and what lies below it departs from a shape.

    Parameters
    ----------
    value
        A value as the TOML reader gives it, with decimals as `decimal.Decimal`.
    shape
        What it has to look like.
    path
        Where it stands.
    notes
        Where mistakes go.
    """
    if not _takes(shape, value):
        _note_wrong_kind(value, shape, path, notes)
        return
    match shape:
        case Text():
            _check_text(value, shape, path, notes)
        case Word():
            if value not in shape.words:
                meant = hint(notes.near(value, shape.words))
                notes.add(path, f"found {said(value)}{meant}", shape.what)
        case Exact():
            _check_exact(value, shape.bound, path, notes)
        case Whole():
            if not shape.least <= value <= shape.most:
                notes.add(path, f"found {said(value)}", shape.what)
        case Many():
            _check_many(value, shape, path, notes)
        case Named():
            _check_named(value, shape, path, notes)
        case Table():
            _check_table(value, shape, path, notes)
        case Either():
            _check_either(value, shape, path, notes)
        case Fixed() | Flag():
            pass


def _takes(shape: Shape, value: Any) -> bool:
    """Tell whether a value is of the kind that a shape is about."""
    match shape:
        case Text() | Word():
            takes = isinstance(value, str)
        case Exact():
            takes = isinstance(value, int | Decimal) and not isinstance(value, bool)
        case Whole():
            takes = isinstance(value, int) and not isinstance(value, bool)
        case Flag():
            takes = isinstance(value, bool)
        case Fixed():
            takes = value == shape.value and isinstance(value, bool) is isinstance(
                shape.value, bool
            )
        case Many():
            takes = isinstance(value, list)
        case Named() | Table():
            takes = isinstance(value, dict)
        case Either():
            takes = any(_takes(option, value) for option in shape.options)
    return takes


def _note_wrong_kind(value: Any, shape: Shape, path: KeyPath, notes: Notes) -> None:
    wants_text = isinstance(shape, Text) and isinstance(value, bool | int | Decimal)
    quotes = f"; put it in quotes: {said(said(value))}" if wants_text else ""
    notes.add(path, f"found {said(value)}{quotes}", shape.what)


def _check_text(value: str, shape: Text, path: KeyPath, notes: Notes) -> None:
    if len(value) > shape.longest:
        notes.add(
            path, f"found {len(value)} characters", f"{shape.what} of at most {shape.longest}"
        )
    elif not re.fullmatch(shape.pattern, value):
        notes.add(path, f"found {said(value)}", shape.what)


def _check_exact(value: int | Decimal, bound: Bound, path: KeyPath, notes: Notes) -> None:
    found = f"found {said(value)}"
    if isinstance(value, Decimal) and value.is_nan():
        notes.add(path, found, bound.value)
    elif (value.copy_abs() if isinstance(value, Decimal) else abs(value)) > LARGEST:
        notes.add(path, found, f"{bound.value}, at most {LARGEST:,} in magnitude")
    elif isinstance(value, Decimal) and _digits(value) > MOST_DIGITS:
        notes.add(path, found, f"a decimal of at most {MOST_DIGITS} digits")
    elif not bound.holds(Fraction(value)):
        notes.add(path, found, bound.value)


def _digits(value: Decimal) -> int:
    """Return a finite decimal's digits, before or behind the point; 1e-999999999 has many.

    Asked before it becomes a fraction, which such a number never would.
    """
    _, digits, exponent = value.as_tuple()
    assert isinstance(exponent, int)
    return max(len(digits), abs(exponent))


def _check_many(value: list[Any], shape: Many, path: KeyPath, notes: Notes) -> None:
    if not shape.least <= len(value) <= shape.most:
        found = f"found {len(value):,} items" if value else "found an empty list"
        notes.add(path, found, f"{shape.what}, {_count(shape)}")
        return
    for index, item in enumerate(value):
        check_shape(item, shape.item, (*path, index), notes)
        if shape.distinct and item in value[:index]:
            notes.add((*path, index), f"found {said(item)} again", "each of them once")


def _count(shape: Many) -> str:
    if shape.least == shape.most:
        return f"{shape.most} of them"
    least = "at least one and " if shape.least else ""
    return f"{least}at most {shape.most}"


def _check_named(value: dict[str, Any], shape: Named, path: KeyPath, notes: Notes) -> None:
    if len(value) < shape.least:
        notes.add(path, "found an empty table", f"{shape.what}, at least one")
    for name, item in value.items():
        _check_text(name, shape.key, (*path, name), notes)
        check_shape(item, shape.value, (*path, name), notes)


def _check_table(value: dict[str, Any], shape: Table, path: KeyPath, notes: Notes) -> None:
    unused = [name for name in shape.names if name not in value]
    for name in value:
        if name not in shape.names:
            notes.misspelt((*path, name), unused, f"one of the keys {', '.join(shape.names)}")
    for key in shape.keys:
        if key.name in value:
            check_shape(value[key.name], key.shape, (*path, key.name), notes)
        elif key.required:
            notes.missing((*path, key.name), key.shape.what)
    if shape.demands is not None:
        _check_demands(value, shape, shape.demands, path, notes)
    if shape.apart is not None and all(key in value for key in shape.apart):
        first, second = shape.apart
        notes.add((*path, second), f"found {second} together with {first}", "one of the two")


def _check_demands(
    value: dict[str, Any], table: Table, demands: Demands, path: KeyPath, notes: Notes
) -> None:
    word = value.get(demands.key)
    demand = demands.by_word.get(word) if isinstance(word, str) else None
    if demand is None:
        return
    for key in table.keys:
        if key.name in demand.required and key.name not in value:
            reason = f"since the {demands.key} is {word}"
            notes.missing((*path, key.name), f"{_briefly(key.shape)}, {reason}")
        elif key.name in demand.refused and key.name in value:
            found = f"found {key.name} with the {demands.key} {word}"
            notes.add((*path, key.name), found, "no such key there")


def _briefly(shape: Shape) -> str:
    """Say what is asked for in the first of the ways in which it can be given."""
    return shape.options[0].what if isinstance(shape, Either) else shape.what


def _check_either(value: Any, shape: Either, path: KeyPath, notes: Notes) -> None:
    options = [option for option in shape.options if _takes(option, value)]
    tables = [option for option in options if isinstance(option, Table)]
    if not tables:
        check_shape(value, options[0], path, notes)
        return
    meant = [table for table in tables if table.names[0] in value]
    if len(meant) == 1:
        check_shape(value, meant[0], path, notes)
    elif meant:
        both = " and ".join(table.names[0] for table in meant)
        notes.add(path, f"found {both} together", shape.what)
    else:
        firsts = [table.names[0] for table in tables]
        matches = (notes.near(name, firsts) for name in value)
        match = next(filter(None, matches), None)
        notes.add(path, f"found none of its keys{hint(match)}", shape.what)
