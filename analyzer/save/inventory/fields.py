"""Ranges of the numbers that block entities store, field by field."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from analyzer.save.inventory.inventory import FieldRange
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import (
    ARRAY_WIDTHS,
    BYTE,
    COMPOUND,
    DOUBLE,
    FLOAT,
    LIST,
    Cursor,
)

#: A field's path: names in modified UTF-8, None for any element of a list or array.
Path = tuple[bytes | None, ...]

# Bounds on what a save may make this remember: deeper fields, longer names, and further fields of
# an id are left out. Real entities stay far below.
_MOST_STEPS: Final = 16
_LONGEST_NAME_BYTES: Final = 255
_MOST_FIELDS: Final = 1000
_MOST_OF_ALL_IDS: Final = 100_000

_PLACE: Final = frozenset({(b"x",), (b"y",), (b"z",)})


class FieldTally:
    """The least and greatest value of each numeric field, by block-entity id."""

    def __init__(self) -> None:
        self._ranges: dict[str, dict[Path, tuple[int | float, int | float]]] = {}
        self._left = _MOST_OF_ALL_IDS

    def add_entity(self, name: str, cursor: Cursor) -> None:
        """Take in the numbers of the block entity whose compound the cursor stands on."""
        for path, value in iter_numbers(cursor):
            if path not in _PLACE:
                self._add(name, path, value, value)

    def add_tally(self, other: FieldTally) -> None:
        """Take in another tally."""
        for name, ranges in other._ranges.items():
            for path, (least, greatest) in ranges.items():
                self._add(name, path, least, greatest)

    def ranges(self) -> tuple[FieldRange, ...]:
        """Return the ranges, sorted by (id, path)."""
        every = (
            _field_range(name, path, least, greatest)
            for name, ranges in self._ranges.items()
            for path, (least, greatest) in ranges.items()
        )
        return tuple(sorted(every, key=lambda found: (found.id, found.path)))

    def _add(self, name: str, path: Path, least: int | float, greatest: int | float) -> None:
        ranges = self._ranges.setdefault(name, {})
        known = ranges.get(path)
        if known is not None:
            ranges[path] = min(known[0], least), max(known[1], greatest)
        elif len(ranges) < _MOST_FIELDS and self._left:
            ranges[path] = least, greatest
            self._left -= 1


def iter_numbers(cursor: Cursor) -> Iterator[tuple[Path, int | float]]:
    """Iterate over the finite numbers in a compound; of an array, over its least and greatest.

    A float of four bytes is given as the shortest decimal that reads back as the same float.
    """
    # One iterator a container that is open, instead of recursion.
    opened: list[Iterator[tuple[bytes | None, int]]] = [iter(cursor.compound())]
    path: list[bytes | None] = []
    while opened:
        item = next(opened[-1], None)
        if item is None:
            opened.pop()
            del path[-1:]
            continue
        name, tag = item
        if len(opened) > _MOST_STEPS or len(name or b"") > _LONGEST_NAME_BYTES:
            continue
        if BYTE <= tag <= DOUBLE:
            value = _plain(tag, cursor.number(tag))
            if math.isfinite(value):
                yield (*path, name), value
        elif tag in ARRAY_WIDTHS:
            for extreme in _extremes(cursor, tag):
                yield (*path, name, None), extreme
        elif tag in (COMPOUND, LIST):
            path.append(name)
            opened.append(cursor.compound() if tag == COMPOUND else _unnamed(cursor))


def _unnamed(cursor: Cursor) -> Iterator[tuple[None, int]]:
    for tag in cursor.elements():
        yield None, tag


def _plain(tag: int, value: int | float) -> int | float:
    return float(str(np.float32(value))) if tag == FLOAT else value


def _extremes(cursor: Cursor, tag: int) -> tuple[int, ...]:
    start, count = cursor.array(tag)
    if not count:
        return ()
    values: np.ndarray[Any, Any] = np.frombuffer(
        cursor.data, f">i{ARRAY_WIDTHS[tag]}", count=count, offset=start
    )
    return int(values.min()), int(values.max())


def _field_range(name: str, path: Path, least: int | float, greatest: int | float) -> FieldRange:
    steps = tuple(decode_text(step) for step in path if step is not None)
    text = "".join(
        "[]" if step is None else f"{'.' if number else ''}{decode_text(step)}"
        for number, step in enumerate(path)
    )
    return FieldRange(
        id=name,
        path=text,
        steps=None if None in path else steps,
        least=least,
        greatest=greatest,
    )
