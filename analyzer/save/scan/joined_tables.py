"""The tables of many records, each one after the other, as one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.save.scan.record import ScanRecord

# Of each number in the tables of whole numbers, and of each value.
_NUMBER_BYTES: Final = 4
_VALUE_BYTES: Final = 8


@dataclass(frozen=True, eq=False)
class JoinedTables:
    """The tables of some records (`ScanRecord`), one below the other; all are read-only.

    Parameters
    ----------
    cells, readings, bare
        Int32, shapes (n, 6), (m, 3) and (k, 4); their numbers are still those of each record.
    integers, reals
        The values of the readings, shape (m,).
    cell_counts, reading_counts, bare_counts
        How many rows each record has, int64, one a record.
    """

    cells: npt.NDArray[np.int32]
    readings: npt.NDArray[np.int32]
    bare: npt.NDArray[np.int32]
    integers: npt.NDArray[np.int64]
    reals: npt.NDArray[np.float64]
    cell_counts: npt.NDArray[np.int64]
    reading_counts: npt.NDArray[np.int64]
    bare_counts: npt.NDArray[np.int64]


def join_tables(records: Sequence[ScanRecord]) -> JoinedTables:
    """Return the tables of some records, in their order; of none, tables of length 0.

    Raises
    ------
    ValueError
        Where a table does not end with a row, or not every reading has its two values.

    Notes
    -----
    Costs one copy, and some calls for all records together, where the records' own arrays cost ten
    calls for each.
    """
    cells, cell_counts = _joined([record.cell_bytes for record in records], 6)
    readings, reading_counts = _joined([record.reading_bytes for record in records], 3)
    bare, bare_counts = _joined([record.bare_bytes for record in records], 4)
    integers = [record.integer_bytes for record in records]
    reals = [record.real_bytes for record in records]
    for values in (integers, reals):
        if not np.array_equal(_rows(values, _VALUE_BYTES), reading_counts):
            raise ValueError("readings without values")
    return JoinedTables(
        cells=cells,
        readings=readings,
        bare=bare,
        integers=np.frombuffer(b"".join(integers), np.dtype("<i8")),
        reals=np.frombuffer(b"".join(reals), np.dtype("<f8")),
        cell_counts=cell_counts,
        reading_counts=reading_counts,
        bare_counts=bare_counts,
    )


def starts_of(counts: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """Return the row at which each record begins."""
    return np.cumsum(counts) - counts


def _joined(
    tables: Sequence[bytes], columns: int
) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int64]]:
    counts = _rows(tables, _NUMBER_BYTES * columns)
    return np.frombuffer(b"".join(tables), np.dtype("<i4")).reshape(-1, columns), counts


def _rows(tables: Sequence[bytes], row_bytes: int) -> npt.NDArray[np.int64]:
    counts, rest = np.divmod(np.array(list(map(len, tables)), np.int64), row_bytes)
    if rest.any():
        raise ValueError("a table that ends within a row")
    return counts
