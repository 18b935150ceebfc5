"""Scan records of regions as bytes, to be kept from one run to the next.

The form holds neither the region's dimension nor its file: they are those of whoever asks. It is
data alone: to read it runs nothing, and whatever it holds gives a record whose numbers point into
its own tables, or none.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from struct import Struct
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.place import SLOTS, Chunk
from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.files.save_files import RegionFile
from analyzer.save.reading.looked import RegionSlots
from analyzer.save.reading.pieces import ChunkPiece, Extent
from analyzer.save.scan.joined_tables import join_tables
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.wanted import Wanted, WantedTables

#: Of the form; whatever is kept under another number is made again.
FORM: Final = 2

# Faults that may be gone by the next run though the file has not changed.
_PASSING: Final = frozenset({"cannot-read", "external-unreadable", "link-leaves-save", "unstable"})
# Sizes in bytes of the five tables and of the text of pieces; the slots' status follows, then the
# tables, then that text, which few ask for, then that of the rest.
_SIZES: Final = Struct("<6Q")
_MOST_TAG: Final = 12
_STATUSES: Final = bytes(SlotStatus)


def is_lasting(record: ScanRecord) -> bool:
    """Return whether a record says what every later scan of the same bytes would say."""
    return not any(
        fault.chunk is None or fault.reason in _PASSING for fault in record.looked.faults
    )


def encode_record(record: ScanRecord) -> bytes:
    """Return a region's record as bytes."""
    looked = record.looked
    assert isinstance(looked, RegionSlots)
    tables = (
        record.cell_bytes,
        record.reading_bytes,
        record.integer_bytes,
        record.real_bytes,
        record.bare_bytes,
    )
    text = {
        "states": list(map(_state_text, record.states)),
        "faults": [
            [*_chunk(fault.chunk), fault.reason, fault.detail, fault.offset]
            for fault in looked.faults
        ],
        "versions": looked.data_versions,
        "left": _left_fields(record.leftovers),
        "strangers": record.strangers,
    }
    pieces = json.dumps(list(map(_piece_fields, record.pieces))).encode("ascii")
    sizes = _SIZES.pack(*map(len, (*tables, pieces)))
    rest = json.dumps(text).encode("ascii")
    return b"".join((sizes, looked.status, *tables, pieces, rest))


class RecordDecoder:
    """Reads kept records, all of them for the same wanted ids.

    Parameters
    ----------
    wanted
        What the scan looks for.
    """

    def __init__(self, wanted: Wanted) -> None:
        tables = WantedTables(wanted)
        self._entities = len(tables.entities)
        self._paths = len(tables.paths)
        # The same states stand in many records, and many records say the same of the rest.
        self._states: dict[str, BlockState] = {}
        self._rests: dict[bytes, _Rest] = {}

    def decode(self, data: bytes, region: RegionFile, *, pieces: bool = False) -> ScanRecord:
        """Return the record that `encode_record` made bytes of, as one of a region.

        Parameters
        ----------
        data, region
            The bytes, and the region file that they are to be a record of.
        pieces
            Whether it is to have its pieces: it takes longer.

        Raises
        ------
        ValueError
            Where the bytes are no such record.
        """
        record, parts = self._read(data, region)
        self._check_tables([record])
        if not pieces:
            return record
        with _sense():
            found = tuple(map(_piece, json.loads(parts.decode("ascii"))))
            _check_pieces(record, found)
        return replace(record, pieces=found)

    def decode_each(self, kept: Iterable[tuple[RegionFile, bytes]]) -> list[ScanRecord | None]:
        """Return many records, without their pieces; None for bytes that are no record.

        Notes
        -----
        Costs about 10 µs a record. Their tables are looked at together, and one by one only where
        there is something wrong with any.
        """
        records = [self._find(data, region) for region, data in kept]
        there = [record for record in records if record is not None]
        if self._is_sound(there):
            return records
        return [record if record and self._is_sound([record]) else None for record in records]

    def _find(self, data: bytes, region: RegionFile) -> ScanRecord | None:
        try:
            return self._read(data, region)[0]
        except ValueError:
            return None

    def _is_sound(self, records: Sequence[ScanRecord]) -> bool:
        try:
            self._check_tables(records)
        except ValueError:
            return False
        return True

    def _read(self, data: bytes, region: RegionFile) -> tuple[ScanRecord, bytes]:
        """Return a record whose tables are still to be looked at, and the text of its pieces."""
        with _sense():
            status, tables, text = _split(data)
            cells, readings, integers, reals, bare, parts = tables
            rest = self._rest(text)
            faults = tuple(_fault(region, fields) for fields in rest.faults)
        looked = RegionSlots(region, status, faults, rest.versions)
        record = ScanRecord(
            looked,
            cells,
            readings,
            integers,
            reals,
            bare,
            rest.states,
            rest.leftovers,
            rest.strangers,
        )
        return record, parts

    def _rest(self, text: bytes) -> _Rest:
        found = self._rests.get(text)
        if found is None:
            fields = json.loads(text.decode("ascii"))
            found = self._rests[text] = _Rest(
                states=tuple(map(self._state, fields["states"])),
                faults=fields["faults"],
                versions=tuple(map(_whole, fields["versions"])),
                leftovers=_leftovers(fields["left"]),
                strangers=_counted(fields["strangers"]),
            )
        return found

    def _state(self, text: str) -> BlockState:
        state = self._states.get(text)
        if state is None:
            name, *rest = map(_text, json.loads(text))
            pairs = zip(rest[::2], rest[1::2], strict=True)
            state = self._states[text] = BlockState(name, tuple(pairs))
        return state

    def _check_tables(self, records: Sequence[ScanRecord]) -> None:
        tables = join_tables(records)
        cells, readings = tables.cells, tables.readings
        states = np.array([len(record.states) for record in records], np.int64)
        _check_range(cells[:, 3], 0, np.repeat(states, tables.cell_counts))
        _check_range(cells[:, 4], -1, self._entities)
        _check_range(tables.bare[:, 3], 0, np.repeat(states, tables.bare_counts))
        _check_range(readings[:, 0], 0, np.repeat(tables.cell_counts, tables.reading_counts))
        _check_range(readings[:, 1], 0, self._paths)
        _check_range(readings[:, 2], 0, _MOST_TAG + 1)


@dataclass(frozen=True)
class _Rest:
    """What a record's text says; its faults as they stand there, since they name the region."""

    states: tuple[BlockState, ...]
    faults: Sequence[Any]
    versions: tuple[int, ...]
    leftovers: Leftovers
    strangers: tuple[tuple[str, int], ...]


@contextmanager
def _sense() -> Iterator[None]:
    try:
        yield
    except (ArithmeticError, LookupError, RecursionError, TypeError) as error:
        raise ValueError(f"no record: {error}") from error


def _split(data: bytes) -> tuple[bytes, list[bytes], bytes]:
    if len(data) < _SIZES.size:
        raise ValueError("too short")
    sizes = _SIZES.unpack_from(data)
    at = _SIZES.size + SLOTS
    if at + sum(sizes) > len(data):
        raise ValueError("too short for its tables")
    status = data[_SIZES.size : at]
    if status.translate(None, _STATUSES):
        raise ValueError("an unknown status")
    tables = []
    for size in sizes:
        tables.append(data[at : at + size])
        at += size
    return status, tables, data[at:]


def _state_text(state: BlockState) -> str:
    return json.dumps([state.name, *(part for pair in state.properties for part in pair)])


def _chunk(chunk: Chunk | None) -> tuple[int | None, int | None]:
    return (None, None) if chunk is None else chunk


def _fault(region: RegionFile, fields: Any) -> Fault:
    cx, cz, reason, detail, offset = fields
    return Fault(
        region.dimension,
        region.file,
        None if cx is None else Chunk(_whole(cx), _whole(cz)),
        _text(reason),
        _text(detail),
        None if offset is None else _whole(offset),
    )


def _left_fields(left: Leftovers) -> list[Any]:
    return [left.unknown, left.duplicate, left.misplaced, left.malformed, left.unfinished]


def _leftovers(fields: Any) -> Leftovers:
    unknown, duplicate, misplaced, malformed, unfinished = fields
    counts = map(_count, (duplicate, misplaced, malformed, unfinished))
    return Leftovers(_counted(unknown), *counts)


def _piece_fields(piece: ChunkPiece) -> list[Any]:
    return [
        piece.slot,
        piece.digest.hex(),
        piece.data_version,
        piece.start,
        piece.stop,
        _left_fields(piece.leftovers),
        piece.strangers,
    ]


def _piece(fields: Any) -> ChunkPiece:
    slot, digest, data_version, start, stop, left, strangers = fields
    return ChunkPiece(
        slot=_count(slot),
        digest=bytes.fromhex(digest),
        data_version=None if data_version is None else _whole(data_version),
        start=Extent(*map(_count, start)),
        stop=Extent(*map(_count, stop)),
        leftovers=_leftovers(left),
        strangers=tuple(tuple(map(_text, names)) for names in strangers),
    )


def _counted(pairs: Iterable[Any]) -> tuple[tuple[str, int], ...]:
    return tuple((_text(name), _count(count)) for name, count in pairs)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("no text")
    return value


def _whole(value: Any) -> int:
    if type(value) is not int:
        raise TypeError("no whole number")
    return value


def _count(value: Any) -> int:
    if _whole(value) < 0:
        raise ValueError("no count")
    return int(value)


def _check_range(column: npt.NDArray[np.int32], low: int, end: int | npt.NDArray[np.int64]) -> None:
    if len(column) and not (low <= column.min() and (column < end).all()):
        raise ValueError("a number that points nowhere")


def _check_pieces(record: ScanRecord, pieces: tuple[ChunkPiece, ...]) -> None:
    cells, readings = len(record.cells), record.readings
    last = Extent(cells, len(readings), len(record.bare))
    for piece in pieces:
        for start, stop, most in zip(piece.start, piece.stop, last, strict=True):
            if not start <= stop <= most:
                raise ValueError("a piece of rows that are not there")
        _check_range(
            readings[piece.start.readings : piece.stop.readings, 0],
            piece.start.cells,
            piece.stop.cells,
        )
