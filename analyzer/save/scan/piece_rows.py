"""The rows that a chunk gave to the tables of an earlier record of its region."""

from __future__ import annotations

from collections.abc import Iterator
from struct import Struct
from typing import Any, Final

from analyzer.base.block import BlockState
from analyzer.save.reading.pieces import ChunkPiece
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.stored import Stored

_CELL: Final = Struct("<6i")
_READING: Final = Struct("<3i")
_INTEGER: Final = Struct("<q")
_REAL: Final = Struct("<d")
_BARE: Final = Struct("<4i")


def iter_cells(
    record: ScanRecord, piece: ChunkPiece
) -> Iterator[tuple[int, int, int, BlockState, int, int]]:
    """Iterate over x, y, z, state, number of the wanted id and data version of its candidates."""
    for x, y, z, state, entity, version in _rows(
        _CELL, record.cell_bytes, piece.start.cells, piece.stop.cells
    ):
        yield x, y, z, record.states[state], entity, version


def iter_readings(record: ScanRecord, piece: ChunkPiece) -> Iterator[tuple[int, int, Stored]]:
    """Iterate over candidate (from 0), number of the path and value of its stored numbers."""
    start, stop = piece.start.readings, piece.stop.readings
    for (row, path, tag), (integer,), (real,) in zip(
        _rows(_READING, record.reading_bytes, start, stop),
        _rows(_INTEGER, record.integer_bytes, start, stop),
        _rows(_REAL, record.real_bytes, start, stop),
        strict=True,
    ):
        yield row - piece.start.cells, path, Stored(tag, integer, real)


def iter_bare(record: ScanRecord, piece: ChunkPiece) -> Iterator[tuple[int, int, int, BlockState]]:
    """Iterate over x, y, z and state of its blocks that lack their block entity."""
    for x, y, z, state in _rows(_BARE, record.bare_bytes, piece.start.bare, piece.stop.bare):
        yield x, y, z, record.states[state]


def _rows(row: Struct, table: bytes, start: int, stop: int) -> Iterator[tuple[Any, ...]]:
    return row.iter_unpack(table[row.size * start : row.size * stop])
