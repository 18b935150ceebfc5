"""The exact numbers of parts, by field: from the catalogue, and from what the save stores."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.exact import stored_number
from analyzer.base.frame import POSES, sign_of
from analyzer.base.tables import Interner, frozen, unique_rows
from analyzer.catalogue.bounds import FIELD_BOUNDS
from analyzer.catalogue.catalogue import Field, Stored
from analyzer.catalogue.notes import key_text
from analyzer.catalogue.resolve import Resolved
from analyzer.parts.parts import Unusable
from analyzer.save.scan import Candidates, Readings

_Rows: TypeAlias = npt.NDArray[np.int64]

#: What a number has instead of an index where the part has none or an unusable one.
NONE: Final = -1
_TAGS: Final = {
    7: "byte array",
    8: "string",
    9: "list",
    10: "compound",
    11: "int array",
    12: "long array",
}


@dataclass(frozen=True, eq=False)
class Numbers:
    """See the fields of the same names in `analyzer.parts.parts.Parts`."""

    numbers: tuple[Fraction, ...]
    fields: Mapping[Field, npt.NDArray[np.int32]]
    unusable: tuple[Unusable, ...]


def make_numbers(
    candidates: Candidates, resolved: Sequence[Resolved | None], *, rows: _Rows, group: _Rows
) -> Numbers:
    """Give parts their exact numbers.

    Parameters
    ----------
    candidates
        All candidates.
    resolved
        What each group of candidates was resolved to; None for those that are no parts.
    rows
        Rows of the candidates that are parts, ascending, shape (n,).
    group
        Group of each of these, shape (n,).

    Returns
    -------
    Numbers
        Without parts, no fields.
    """
    known: Interner[Fraction] = Interner()
    stored: Interner[tuple[Stored, int]] = Interner()
    columns: dict[Field, npt.NDArray[np.int32]] = {}
    lookup = _Lookup(candidates)
    unusable: list[Unusable] = []
    codes = _codes(resolved, known=known, stored=stored)
    for field in sorted(codes):
        column = codes[field][group]
        for code, parts in _by_code(column):
            number, sign = stored.items[_stored_code(code)]
            reader = _Reader(field, number, sign, known)
            column[parts] = lookup.read(reader, parts=parts, rows=rows[parts], unusable=unusable)
        columns[field] = frozen(column)
    return Numbers(known.items, MappingProxyType(columns), tuple(sorted(unusable)))


def _codes(
    resolved: Sequence[Resolved | None],
    *,
    known: Interner[Fraction],
    stored: Interner[tuple[Stored, int]],
) -> dict[Field, npt.NDArray[np.int32]]:
    """Return for each field the code of each group: an index, NONE, or a stored number's code."""
    codes: dict[Field, npt.NDArray[np.int32]] = {}
    for group, result in enumerate(resolved):
        for field, number in result.numbers if result else ():
            column = codes.setdefault(field, np.full(len(resolved), NONE, np.int32))
            assert result is not None
            sign = sign_of(POSES[result.pose][0]) if field is Field.RATED_RPM else 1
            if isinstance(number, Stored):
                column[group] = _stored_code(stored((number, sign)))
            else:
                column[group] = known(number * sign)
    return codes


def _stored_code(index: int) -> int:
    """Return the code of a stored number's index, or the index of its code: below NONE."""
    return -2 - index


def _by_code(column: npt.NDArray[np.int32]) -> Iterator[tuple[int, _Rows]]:
    """Yield each code of a stored number in a column with the parts that have it, ascending."""
    parts = np.flatnonzero(column < NONE)
    parts = parts[np.argsort(column[parts], kind="stable")]
    codes, starts = np.unique(column[parts], return_index=True)
    yield from zip(codes.tolist(), np.split(parts, starts[1:]), strict=False)


@dataclass(frozen=True)
class _Reader:
    """How one field reads one stored number: `sign` carries own speeds into world speeds."""

    field: Field
    number: Stored
    sign: int
    known: Interner[Fraction]

    def value(self, tag: int, integer: int, real: float) -> int:
        """Return the index of the number that a reading stands for, or NONE."""
        found = stored_number(tag, integer, real)
        if found is None:
            return NONE
        value = found * self.number.scale
        return self.known(value * self.sign) if FIELD_BOUNDS[self.field].holds(value) else NONE

    def absent(self) -> int:
        """Return the index of the number that holds where nothing is stored, or NONE."""
        default = self.number.default
        return NONE if default is None else self.known(default * self.sign)


class _Lookup:
    """The readings of a scan, by candidate and path."""

    def __init__(self, candidates: Candidates) -> None:
        readings = candidates.readings
        self._readings: Readings = readings
        self._paths = {path: index for index, path in enumerate(candidates.paths)}
        keys = self._keys(readings.row.astype(np.int64), readings.path.astype(np.int64))
        self._order = np.argsort(keys, kind="stable")
        self._sorted = keys[self._order]

    def _keys(self, rows: _Rows, path: _Rows | int) -> _Rows:
        return rows * max(len(self._paths), 1) + path

    def read(
        self, reader: _Reader, *, parts: _Rows, rows: _Rows, unusable: list[Unusable]
    ) -> npt.NDArray[np.int32]:
        """Return the index of each part's number, and note those that are unusable."""
        at = self._find(reader.number, rows)
        result = np.full(len(rows), NONE, np.int32)
        result[at < 0] = reader.absent() if (at < 0).any() else NONE
        found = np.flatnonzero(at >= 0)
        readings, at = self._readings, at[at >= 0]
        distinct, number = unique_rows(
            readings.tag[at], readings.integer[at], readings.real[at].view(np.int64)
        )
        values = [_raw(row) for row in distinct]
        result[found] = np.array([reader.value(*value) for value in values], np.int32)[number]
        said = np.full(len(rows), -1, np.int64)
        said[found] = number
        texts = [*(_said(*value) for value in values), "absent"]
        path = key_text(reader.number.path)
        for index in np.flatnonzero(result == NONE).tolist():
            part, text = int(parts[index]), texts[int(said[index])]
            unusable.append(Unusable(part, reader.field, path, text))
        return result

    def _find(self, number: Stored, rows: _Rows) -> _Rows:
        """Return for each candidate the reading at a stored number's path, or -1."""
        path = self._paths.get(number.path)
        if path is None or not len(self._sorted):
            return np.full(len(rows), -1, np.int64)
        keys = self._keys(rows, path)
        place = np.minimum(np.searchsorted(self._sorted, keys), len(self._sorted) - 1)
        return np.where(self._sorted[place] == keys, self._order[place], -1)


def _raw(row: npt.NDArray[np.int64]) -> tuple[int, int, float]:
    return int(row[0]), int(row[1]), float(row[2:3].view(np.float64)[0])


def _said(tag: int, integer: int, real: float) -> str:
    """Say what was found where a number was looked for."""
    if tag in (5, 6):
        if math.isnan(real):
            return "NaN"
        if math.isinf(real):
            return "Infinity" if real > 0 else "-Infinity"
        return str(np.float32(real)) if tag == 5 else repr(real)
    return str(integer) if 1 <= tag <= 4 else _TAGS.get(tag, f"tag {tag}")
