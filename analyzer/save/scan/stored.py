"""Numbers that a block entity stores, found by their path."""

from __future__ import annotations

from typing import NamedTuple

from analyzer.base.limits import Limits
from analyzer.save.nbt.modified_utf8 import encode_text
from analyzer.save.nbt.walker import (
    ARRAY_ELEMENTS,
    ARRAY_WIDTHS,
    BYTE,
    COMPOUND,
    DOUBLE,
    LIST,
    LONG,
    Cursor,
)


class Stored(NamedTuple):
    """What stands at the end of a path: its tag, and its value in the one that fits the tag.

    For a tag that is no number both values are 0.
    """

    tag: int
    integer: int
    real: float


def read_stored(
    data: bytes, at: int, steps: tuple[str | int, ...], limits: Limits
) -> Stored | None:
    """Follow a path from a block entity's compound.

    Parameters
    ----------
    data, at
        A buffer that was walked, and where the compound stands in it.
    steps
        Compound keys (text) and list or array indices (int, from 0).
    limits
        Bounds of the walk.

    Returns
    -------
    Stored or None
        None where the path leads nowhere.
    """
    cursor = Cursor(data, limits, at)
    tag = COMPOUND
    for step in steps:
        found = _find(cursor, tag, step)
        if found is None:
            return None
        tag, at = found
        cursor = Cursor(data, limits, at)
    if BYTE <= tag <= LONG:
        return Stored(tag, int(cursor.number(tag)), 0.0)
    if LONG < tag <= DOUBLE:
        return Stored(tag, 0, float(cursor.number(tag)))
    return Stored(tag, 0, 0.0)


def _find(cursor: Cursor, tag: int, step: str | int) -> tuple[int, int] | None:
    if isinstance(step, str):
        return _find_key(cursor, encode_text(step)) if tag == COMPOUND else None
    if tag == LIST:
        return _find_element(cursor, step)
    if tag in ARRAY_WIDTHS:
        start, count = cursor.array(tag)
        if 0 <= step < count:
            return ARRAY_ELEMENTS[tag], start + ARRAY_WIDTHS[tag] * step
    return None


def _find_key(cursor: Cursor, key: bytes) -> tuple[int, int] | None:
    # To the end, since of two values under one name the game keeps the last.
    found = None
    for name, tag in cursor.compound():
        if name == key:
            found = tag, cursor.at
    return found


def _find_element(cursor: Cursor, index: int) -> tuple[int, int] | None:
    for number, tag in enumerate(cursor.elements()):
        if number == index:
            return tag, cursor.at
    return None
