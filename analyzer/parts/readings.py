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
from analyzer.save.scan import Candidates

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
        self._rows = readings.row
        self._candidates = len(candidates)
        self._by_path = np.argsort(readings.path, kind="stable")
        bounds = np.searchsorted(
            readings.path, np.arange(len(candidates.paths) + 1), sorter=self._by_path
        ).tolist()
        self._spans = dict(zip(candidates.paths, pairwise(bounds), strict=True))

    def find(self, path: DataPath, rows: Rows) -> Rows:
        """Return for each candidate its reading at a path, or -1 where the path leads nowhere."""
        # A table of all candidates costs less than a search for each row.
        start, end = self._spans.get(path, (0, 0))
        readings = self._by_path[start:end]
        of_row = np.full(self._candidates, -1, np.int64)
        of_row[self._rows[readings]] = readings
        return of_row[rows]

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
        [-1 if item is None else numbers.setdefault(item, len(numbers)) for item in items], np.int64
    )
    column = codes[group] if len(codes) else np.empty(0, np.int64)
    for item, number in numbers.items():
        yield item, np.flatnonzero(column == number)
