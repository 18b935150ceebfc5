"""What going through a region's slots has come to so far, and how damage becomes a fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, TypeAlias

from analyzer.base.limits import Limits
from analyzer.base.place import SLOTS, Chunk
from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.files.opening import why
from analyzer.save.files.region import Location, Payload
from analyzer.save.files.save_files import RegionFile
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import Stream, open_stream
from analyzer.save.nbt.walker import MalformedError
from analyzer.save.reading.pieces import ChunkPiece
from analyzer.save.sift.quick_sift import QuickSift

#: Reads one chunk and keeps what it is after; returns what the chunk turned out to be.
ReadSlot: TypeAlias = Callable[[Stream, Chunk], ChunkContent]
#: Tells what an earlier scan kept of the chunk in a slot, if it has the same payload.
Recall: TypeAlias = Callable[[int, Payload], ChunkPiece | None]

#: What can be wrong with one chunk and leaves the others as they are.
FAILURES: Final = (DamageError, MalformedError, OSError)


@dataclass
class SlotWalk:
    """How the slots of a region have ended so far; see `walk_slots` for the first five."""

    region: RegionFile
    limits: Limits
    read_slot: ReadSlot
    quick: QuickSift | None
    recall: Recall | None
    status: bytearray = field(default_factory=lambda: bytearray(SLOTS))
    faults: list[Fault] = field(default_factory=list)
    versions: set[int] = field(default_factory=set)

    def give_up(self, reason: str, detail: str) -> None:
        """Count every slot as unreadable for one reason."""
        self.status[:] = bytes([SlotStatus.UNREADABLE]) * SLOTS
        self.faults[:] = [self.fault(reason, detail)]

    def fault(
        self, reason: str, detail: str, chunk: Chunk | None = None, offset: int | None = None
    ) -> Fault:
        """Return a fault of this region."""
        region = self.region
        return Fault(region.dimension, region.file, chunk, reason, detail, offset)

    def fault_of(self, error: Exception, chunk: Chunk, location: Location) -> Fault:
        """Return what one of `FAILURES` says of a chunk."""
        if isinstance(error, DamageError):
            offset = location.offset if error.offset is None else error.offset
            return self.fault(error.reason, error.detail, chunk, offset)
        if isinstance(error, MalformedError):
            return self.fault("bad-nbt", f"{error} of the inflated chunk", chunk, location.offset)
        assert isinstance(error, OSError)
        detail = f"the file cannot be read: {why(error)}"
        return self.fault("cannot-read", detail, chunk, location.offset)

    def take(self, slot: int, chunk: Chunk, payload: Payload) -> SlotStatus:
        """Read a chunk.

        Raises
        ------
        DamageError, MalformedError
            Where it cannot be read.
        """
        content: ChunkContent | ChunkPiece | None = None
        if self.recall is not None:
            content = self.recall(slot, payload)
        if content is None:
            limit = self.limits.inflated_bytes
            stream = open_stream(payload.compression, payload.data, limit=limit)
            content = self.read_slot(stream, chunk)
        if content.data_version is not None:
            self.versions.add(content.data_version)
        return content.status
