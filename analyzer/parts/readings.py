"""Looking up what the save stores of each candidate, by path."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple, TypeAlias, TypeVar

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import DataPath
from analyzer.save.scan.scan import Candidates

#: Rows of some table.
Rows: TypeAlias = npt.NDArray[np.int64]

_Item = TypeVar("_Item", bound=Hashable)
_TAGS: Final = {
    7: "byte array",
    8: "string",
    9: "list",
    10: "compound",
    11: "int array",
    12: "long array",
}


class Reading(NamedTuple):
    """What stands at the end of a path: its tag, and its value in the one that fits the tag."""

    tag: int
    integer: int
    real: float

    def __str__(self) -> str:
        """Say what was found."""
        if self.tag in (5, 6):
            if math.isnan(self.real):
                return "NaN"
            if math.isinf(self.real):
                return "Infinity" if self.real > 0 else "-Infinity"
            return str(np.float32(self.real)) if self.tag == 5 else repr(self.real)
        return str(self.integer) if 1 <= self.tag <= 4 else _TAGS.get(self.tag, f"tag {self.tag}")


class Lookup:
    """The readings of a scan, by candidate and path."""

    def __init__(self, candidates: Candidates) -> None:
        readings = candidates.readings
        # What -1 finds stands last.
        self._tags = np.append(readings.tag, np.int8(0))
        self._integers = np.append(readings.integer, np.int64(0))
        self._reals = np.append(readings.real, 0.0)
        self._by_path = np.argsort(readings.path, kind="stable")
        self._rows_by_path = readings.row[self._by_path]
        bounds = np.searchsorted(
            readings.path, np.arange(len(candidates.paths) + 1), sorter=self._by_path
        ).tolist()
        self._spans = dict(zip(candidates.paths, pairwise(bounds), strict=True))

    def find(self, path: DataPath, rows: Rows) -> Rows:
        """Return for each candidate its reading at a path, or -1 where the path leads nowhere."""
        start, end = self._spans.get(path, (0, 0))
        if start == end:
            return np.full(len(rows), -1, np.int64)
        known = self._rows_by_path[start:end]
        place = np.minimum(np.searchsorted(known, rows), len(known) - 1)
        return np.where(known[place] == rows, self._by_path[start + place], -1)

    def tags(self, readings: Rows) -> npt.NDArray[np.int8]:
        """Return the tag of each of some readings; 0 for -1."""
        return self._tags[readings]

    def integers(self, readings: Rows) -> npt.NDArray[np.int64]:
        """Return the integer of each of some readings; 0 for -1 and for what is no integer."""
        return self._integers[readings]

    def reading(self, number: int) -> Reading:
        """Return one reading."""
        tag, integer = int(self._tags[number]), int(self._integers[number])
        return Reading(tag, integer, float(self._reals[number]))

    def distinct(self, readings: Rows) -> tuple[list[Reading], Rows]:
        """Return the distinct ones among some readings, and the number of each in that list."""
        rows, number = unique_rows(
            self._tags[readings],
            self._integers[readings],
            self._reals[readings].view(np.int64),
        )
        reals = rows[:, 2].copy().view(np.float64)
        found = [
            Reading(tag, integer, real)
            for (tag, integer, _), real in zip(rows.tolist(), reals.tolist(), strict=True)
        ]
        return found, number


def rows_by_item(items: Sequence[_Item | None], group: Rows) -> Iterator[tuple[_Item, Rows]]:
    """Yield each distinct item with the rows whose group has it, ascending.

    Parameters
    ----------
    items
        The item of each group, or None.
    group
        Group of each row, shape (n,).
    """
    numbers: dict[_Item, int] = {}
    codes = np.array(
        [-1 if item is None else numbers.setdefault(item, len(numbers)) for item in items], np.int32
    )
    names, column = tuple(numbers), codes[group]
    for code, rows in rows_by_code(column, np.flatnonzero(column >= 0)):
        yield names[code], rows


def rows_by_code(codes: npt.NDArray[np.int32], rows: Rows) -> Iterator[tuple[int, Rows]]:
    """Yield each code that some rows have, ascending, with those rows in their order.

    Parameters
    ----------
    codes
        Code of each row.
    rows
        The rows that are asked for.
    """
    rows = rows[np.argsort(codes[rows], kind="stable")]
    distinct, starts = np.unique(codes[rows], return_index=True)
    yield from zip(distinct.tolist(), np.split(rows, starts[1:]), strict=False)
