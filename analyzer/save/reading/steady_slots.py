"""Reading the slots of a region that may be written meanwhile: again, until they hold still."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass
from typing import BinaryIO, Final

from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.files.region import Location
from analyzer.save.nbt.damage import DamageError
from analyzer.save.reading.pieces import digest_of
from analyzer.save.reading.slot_walk import FAILURES, SlotWalk
from analyzer.save.reading.steady_reader import MovingError, SteadyReader

#: Reason of a chunk that another program wrote each time it was read.
UNSTABLE: Final = "unstable"

# Seconds for which nobody shall have written the file before its failed chunks are read again. The
# first is long for a system call that writes a chunk, the last short for a user.
_PAUSES: Final = (0.02, 0.02, 0.04, 0.08, 0.16)


@dataclass(frozen=True)
class _Failure:
    """Why a chunk could not be read, and what was seen; None where that changed all the time."""

    fault: Fault
    seen: tuple[bytes, ...] | None


class SteadySlots:
    """The slots of a region of which each is read as one program wrote it, or told.

    Parameters
    ----------
    walk
        Takes up how the slots end.
    reader, file
        The open region file.
    """

    def __init__(self, walk: SlotWalk, reader: SteadyReader, file: BinaryIO) -> None:
        self._walk = walk
        self._reader = reader
        self._file = file
        self._failed: dict[int, _Failure] = {}

    def read(self, slot: int, former: _Failure | None = None) -> SlotStatus:
        """Read the chunk in a slot; one that fails is read once more by `read_again`.

        Where it is still what `former` speaks of, it is not inflated again.
        """
        walk, chunk = self._walk, self._reader.chunk(slot)
        location = Location(slot, 0, 0)
        seen: tuple[bytes, ...] = ()
        try:
            entry, location, payload = self._reader.steady_payload(slot)
            if location.sector == location.sectors == 0:
                return SlotStatus.ABSENT
            seen = (entry,)
            if isinstance(payload, DamageError):
                raise payload
            seen = (entry, digest_of(payload))
            if former is not None and former.seen == seen:
                self._failed[slot] = former
                return SlotStatus.UNREADABLE
            return walk.take(slot, chunk, payload)
        except MovingError:
            detail = "another program wrote it each time it was read"
            self._failed[slot] = _Failure(walk.fault(UNSTABLE, detail, chunk), None)
        except FAILURES as error:
            self._failed[slot] = _Failure(walk.fault_of(error, chunk, location), seen)
        return SlotStatus.UNREADABLE

    def read_again(self) -> None:
        """Read what failed again, until it succeeds or fails in the same way at the same bytes."""
        walk = self._walk
        for pause in _PAUSES:
            if not self._failed:
                return
            self._wait(pause)
            before, self._failed = self._failed, {}
            for slot, former in before.items():
                walk.status[slot] = self.read(slot, former)
                failure = self._failed.get(slot)
                if failure is not None and failure.seen is not None and failure == former:
                    walk.faults.append(failure.fault)
                    del self._failed[slot]
        for slot, failure in self._failed.items():
            fault = failure.fault
            detail = "another program wrote it each time it was read"
            if failure.seen is not None:
                detail += f"; at last it was {fault.reason}"
            walk.faults.append(walk.fault(UNSTABLE, detail, fault.chunk, fault.offset))
            walk.status[slot] = SlotStatus.UNSTABLE

    def _wait(self, pause: float) -> None:
        """Wait until nobody has written the file for a while, but no longer than that while."""
        quiet = (time.time_ns() - os.fstat(self._file.fileno()).st_mtime_ns) / 1e9
        time.sleep(min(pause, max(pause - quiet, 0)))
