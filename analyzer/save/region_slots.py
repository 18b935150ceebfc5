"""Going through a region's slots: the one place where damage becomes a fault with a place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import BinaryIO, Final

from analyzer.base.limits import Limits
from analyzer.base.place import SLOTS, Chunk
from analyzer.save.chunk import ChunkContent
from analyzer.save.damage import DamageError
from analyzer.save.fault import Fault
from analyzer.save.inflate import Stream, open_stream
from analyzer.save.opening import leaves, open_for_reading, why
from analyzer.save.pieces import ChunkPiece
from analyzer.save.quick_sift import QuickSift
from analyzer.save.region import HEADER_BYTES, Location, Payload, RegionReader
from analyzer.save.save_files import RegionFile
from analyzer.save.slot_status import SlotStatus
from analyzer.save.walker import MalformedError

# What cannot be compressed comes out of its compression a little larger.
_OVERHEAD_BYTES: Final = 64 * 1024

#: Reads one chunk and keeps what it is after; returns what the chunk turned out to be.
ReadSlot = Callable[[Stream, Chunk], ChunkContent]
#: Tells what an earlier scan kept of the chunk in a slot, if it has the same payload.
Recall = Callable[[int, Payload], ChunkPiece | None]


@dataclass(frozen=True)
class RegionSlots:
    """How the slots of one region file ended.

    Parameters
    ----------
    status
        A `SlotStatus` a slot, 1024 bytes.
    faults
        What could not be read.
    data_versions
        The data versions met, ascending.
    """

    region: RegionFile
    status: bytes
    faults: tuple[Fault, ...]
    data_versions: tuple[int, ...]

    @property
    def dimension(self) -> str:
        """The name of its dimension."""
        return self.region.dimension

    @property
    def chunks(self) -> int:
        """How many slots have a chunk, readable or not."""
        return SLOTS - self.status.count(bytes([SlotStatus.ABSENT]))


@dataclass
class _Walk:
    region: RegionFile
    limits: Limits
    read_slot: ReadSlot
    quick: QuickSift | None
    recall: Recall | None
    status: bytearray = field(default_factory=lambda: bytearray(SLOTS))
    faults: list[Fault] = field(default_factory=list)
    versions: set[int] = field(default_factory=set)

    def fault(
        self, reason: str, detail: str, chunk: Chunk | None = None, offset: int | None = None
    ) -> None:
        region = self.region
        self.faults.append(Fault(region.dimension, region.file, chunk, reason, detail, offset))

    def give_up(self, reason: str, detail: str) -> None:
        self.status[:] = bytes([SlotStatus.UNREADABLE]) * SLOTS
        self.faults.clear()
        self.fault(reason, detail)

    def result(self) -> RegionSlots:
        return RegionSlots(
            self.region, bytes(self.status), tuple(self.faults), tuple(sorted(self.versions))
        )


def walk_slots(
    region: RegionFile,
    limits: Limits,
    read_slot: ReadSlot,
    quick: QuickSift | None = None,
    recall: Recall | None = None,
) -> RegionSlots:
    """Read every chunk of a region file.

    Parameters
    ----------
    region
        The file; one that cannot be opened gives 1024 unreadable slots and one fault.
    limits
        Bounds of reading one chunk.
    read_slot
        Called for each chunk that can be reached, in order of slots. What it raises as damage
        becomes the slot's fault; it must keep nothing of a chunk that it raises for.
    quick
        Asked before each chunk is read; one that it knows is not read.
    recall
        Asked before each chunk is inflated; one that it knows is not read.
    """
    walk = _Walk(region, limits, read_slot, quick, recall)
    if leaves(region.path, region.boundary):
        walk.give_up("link-leaves-save", "the file is a link out of the save")
        return walk.result()
    try:
        with open_for_reading(region.path) as file:
            _walk_file(walk, file)
    except OSError as error:
        walk.give_up("cannot-open", f"the file cannot be read: {why(error)}")
    return walk.result()


def _walk_file(walk: _Walk, file: BinaryIO) -> None:
    payload_limit = walk.limits.inflated_bytes + _OVERHEAD_BYTES
    reader = RegionReader(file, walk.region, payload_limit=payload_limit)
    if 0 < reader.size < HEADER_BYTES:
        walk.fault(
            "short-header",
            f"the file ends after {reader.size:,} of {HEADER_BYTES:,} bytes of its header",
        )
    header = reader.header()
    slot = 0
    while slot < SLOTS:
        if walk.quick is not None:
            slot = walk.quick.sift(reader, header, slot, walk.status, walk.versions)
        if slot < SLOTS and header[slot]:
            walk.status[slot] = _read_location(walk, reader, Location.of(slot, header[slot]))
        slot += 1


def _read_location(walk: _Walk, reader: RegionReader, location: Location) -> SlotStatus:
    chunk = reader.chunk(location.slot)
    try:
        payload = reader.payload(location)
        content = _content(walk, location.slot, chunk, payload)
    except DamageError as damage:
        offset = location.offset if damage.offset is None else damage.offset
        walk.fault(damage.reason, damage.detail, chunk, offset)
        return SlotStatus.UNREADABLE
    except OSError as error:
        walk.fault("cannot-read", f"the file cannot be read: {why(error)}", chunk, location.offset)
        return SlotStatus.UNREADABLE
    except MalformedError as error:
        walk.fault("bad-nbt", f"{error} of the inflated chunk", chunk, location.offset)
        return SlotStatus.UNREADABLE
    if content.data_version is not None:
        walk.versions.add(content.data_version)
    return content.status


def _content(walk: _Walk, slot: int, chunk: Chunk, payload: Payload) -> ChunkContent | ChunkPiece:
    known = None if walk.recall is None else walk.recall(slot, payload)
    if known is not None:
        return known
    limit = walk.limits.inflated_bytes
    return walk.read_slot(open_stream(payload.compression, payload.data, limit=limit), chunk)
