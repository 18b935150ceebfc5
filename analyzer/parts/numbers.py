"""The exact numbers of parts, by field: from the catalogue, and from what the save stores."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.exact import stored_number
from analyzer.base.frame import POSES, sign_of
from analyzer.base.tables import Interner, frozen
from analyzer.catalogue.bounds import FIELD_BOUNDS
from analyzer.catalogue.catalogue import Field, Stored
from analyzer.catalogue.notes import key_text
from analyzer.catalogue.resolve import Resolved
from analyzer.parts.parts import Unusable
from analyzer.parts.readings import Lookup, Reading, Rows, rows_by_code

#: What a number has instead of an index where the part has none or an unusable one.
NONE: Final = -1
#: Fields that are signed about the front in a catalogue, and about the world's axis in parts.
_SIGNED: Final = (Field.RATED_RPM, Field.SET_RPM)


@dataclass(frozen=True, eq=False)
class Numbers:
    """See the fields of the same names in `analyzer.parts.parts.Parts`."""

    fields: Mapping[Field, npt.NDArray[np.int32]]
    unusable: tuple[Unusable, ...]


def make_numbers(
    resolved: Sequence[Resolved | None],
    *,
    known: Interner[Fraction],
    lookup: Lookup,
    rows: Rows,
    group: Rows,
) -> Numbers:
    """Give parts their exact numbers.

    Parameters
    ----------
    resolved
        What each group of candidates was resolved to; None for those that are no parts.
    known
        Numbers of the exact numbers that occur.
    lookup
        What is stored of the candidates.
    rows
        Rows of the candidates that are parts, ascending, shape (n,).
    group
        Group of each of these, shape (n,).

    Returns
    -------
    Numbers
        Without parts, no fields.
    """
    stored: Interner[tuple[Stored, int]] = Interner()
    columns: dict[Field, npt.NDArray[np.int32]] = {}
    unusable: list[Unusable] = []
    codes = _codes(resolved, known=known, stored=stored)
    for field in sorted(codes):
        column = codes[field][group]
        for code, parts in rows_by_code(column, np.flatnonzero(column < NONE)):
            number, sign = stored.items[_stored_code(code)]
            reader = _Reader(field, number, sign, known)
            column[parts] = _read(lookup, reader, parts=parts, rows=rows[parts], unusable=unusable)
        columns[field] = frozen(column)
    return Numbers(MappingProxyType(columns), tuple(unusable))


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
            sign = sign_of(POSES[result.pose][0]) if field in _SIGNED else 1
            if isinstance(number, Stored):
                column[group] = _stored_code(stored((number, sign)))
            else:
                column[group] = known(number * sign)
    return codes


def _stored_code(index: int) -> int:
    """Return the code of a stored number's index, or the index of its code: below NONE."""
    return -2 - index


@dataclass(frozen=True)
class _Reader:
    """How one field reads one stored number: `sign` carries own speeds into world speeds."""

    field: Field
    number: Stored
    sign: int
    known: Interner[Fraction]

    def value(self, reading: Reading) -> int:
        """Return the index of the number that a reading stands for, or NONE."""
        found = stored_number(*reading)
        if found is None:
            return NONE
        value = found * self.number.scale
        return self.known(value * self.sign) if FIELD_BOUNDS[self.field].holds(value) else NONE

    def absent(self) -> int:
        """Return the index of the number that holds where nothing is stored, or NONE."""
        default = self.number.default
        return NONE if default is None else self.known(default * self.sign)


def _read(
    lookup: Lookup, reader: _Reader, *, parts: Rows, rows: Rows, unusable: list[Unusable]
) -> npt.NDArray[np.int32]:
    """Return the index of each part's number, and note those that are unusable."""
    at = lookup.find(reader.number.path, rows)
    result = np.full(len(rows), NONE, np.int32)
    result[at < 0] = reader.absent() if (at < 0).any() else NONE
    found = np.flatnonzero(at >= 0)
    distinct, number = lookup.distinct(at[found])
    result[found] = np.array([reader.value(reading) for reading in distinct], np.int32)[number]
    said = np.full(len(rows), -1, np.int64)
    said[found] = number
    texts = [*map(str, distinct), "absent"]
    path = key_text(reader.number.path)
    for index in np.flatnonzero(result == NONE).tolist():
        part, text = int(parts[index]), texts[int(said[index])]
        unusable.append(Unusable(part, reader.field, path, text))
    return result
