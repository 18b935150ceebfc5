"""Scan records of regions as bytes, to be kept from one run to the next.

The form holds neither the region's dimension nor its file: they are those of whoever asks. It is
data alone: to read it runs nothing, and whatever it holds gives a record whose numbers point into
its own tables, or none.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from struct import Struct
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.place import SLOTS, Chunk
from analyzer.save.fault import Fault
from analyzer.save.leftovers import Leftovers
from analyzer.save.record import ScanRecord
from analyzer.save.region_slots import RegionSlots
from analyzer.save.save_files import RegionFile
from analyzer.save.slot_status import SlotStatus
from analyzer.save.wanted import Wanted, WantedTables

#: Of the form; whatever is kept under another number is made again.
FORM: Final = 1

# Faults that may be gone by the next run though the file has not changed.
_PASSING: Final = frozenset({"cannot-read", "external-unreadable", "link-leaves-save"})
# Sizes in bytes of the five tables; the slots' status and the text follow them.
_SIZES: Final = Struct("<5Q")
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
    left = record.leftovers
    text = {
        "states": list(map(_state_text, record.states)),
        "faults": [
            [*_chunk(fault.chunk), fault.reason, fault.detail, fault.offset]
            for fault in looked.faults
        ],
        "versions": looked.data_versions,
        "unknown": left.unknown,
        "left": [left.duplicate, left.misplaced, left.malformed, left.unfinished],
        "strangers": record.strangers,
    }
    sizes = _SIZES.pack(*map(len, tables))
    return b"".join((sizes, *tables, looked.status, json.dumps(text).encode("ascii")))


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
        # The same states stand in many records.
        self._states: dict[str, BlockState] = {}

    def decode(self, data: bytes, region: RegionFile) -> ScanRecord:
        """Return the record that `encode_record` made bytes of, as one of a region.

        Raises
        ------
        ValueError
            Where the bytes are no such record.
        """
        try:
            return self._decode(data, region)
        except (ArithmeticError, LookupError, RecursionError, TypeError) as error:
            raise ValueError(f"no record: {error}") from error

    def _decode(self, data: bytes, region: RegionFile) -> ScanRecord:
        tables, status, text = _split(data)
        cells, readings, integers, reals, bare = tables
        record = ScanRecord(
            looked=RegionSlots(
                region,
                status,
                tuple(_fault(region, fields) for fields in text["faults"]),
                tuple(map(_whole, text["versions"])),
            ),
            cell_bytes=cells,
            reading_bytes=readings,
            integer_bytes=integers,
            real_bytes=reals,
            bare_bytes=bare,
            states=tuple(map(self._state, text["states"])),
            leftovers=_leftovers(text["unknown"], text["left"]),
            strangers=_counted(text["strangers"]),
        )
        self._check_tables(record)
        return record

    def _state(self, text: str) -> BlockState:
        state = self._states.get(text)
        if state is None:
            name, *rest = map(_text, json.loads(text))
            pairs = zip(rest[::2], rest[1::2], strict=True)
            state = self._states[text] = BlockState(name, tuple(pairs))
        return state

    def _check_tables(self, record: ScanRecord) -> None:
        states, cells, bare = len(record.states), record.cells, record.bare
        _check_range(cells[:, 3], 0, states)
        _check_range(cells[:, 4], -1, self._entities)
        _check_range(bare[:, 3], 0, states)
        readings = record.readings
        if not len(readings) == len(record.integers) == len(record.reals):
            raise ValueError("readings without values")
        _check_range(readings[:, 0], 0, len(cells))
        _check_range(readings[:, 1], 0, self._paths)
        _check_range(readings[:, 2], 0, _MOST_TAG + 1)


def _split(data: bytes) -> tuple[list[bytes], bytes, Any]:
    if len(data) < _SIZES.size:
        raise ValueError("too short")
    sizes = _SIZES.unpack_from(data)
    at = _SIZES.size
    if at + sum(sizes) + SLOTS > len(data):
        raise ValueError("too short for its tables")
    tables = []
    for size in sizes:
        tables.append(data[at : at + size])
        at += size
    status = data[at : at + SLOTS]
    if status.translate(None, _STATUSES):
        raise ValueError("an unknown status")
    return tables, status, json.loads(data[at + SLOTS :].decode("ascii"))


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


def _leftovers(unknown: Any, counts: Any) -> Leftovers:
    duplicate, misplaced, malformed, unfinished = map(_count, counts)
    return Leftovers(_counted(unknown), duplicate, misplaced, malformed, unfinished)


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


def _check_range(column: npt.NDArray[np.int32], low: int, end: int) -> None:
    if len(column) and not (low <= column.min() and column.max() < end):
        raise ValueError("a number that points nowhere")
