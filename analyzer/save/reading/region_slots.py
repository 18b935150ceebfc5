"""Going through a region's slots: the one place where damage becomes a fault with a place."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import BinaryIO, Final, TypeVar

from analyzer.base.limits import Limits
from analyzer.base.place import SLOTS
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.file_state import DisturbedError
from analyzer.save.files.opening import leaves, open_for_reading, why
from analyzer.save.files.region import HEADER_BYTES, Location, RegionReader
from analyzer.save.files.save_files import RegionFile
from analyzer.save.reading.looked import RegionSlots
from analyzer.save.reading.slot_walk import FAILURES, ReadSlot, Recall, SlotWalk
from analyzer.save.reading.steady_reader import SteadyReader
from analyzer.save.reading.steady_slots import SteadySlots
from analyzer.save.sift.quick_sift import QuickSift

# What cannot be compressed comes out of its compression a little larger.
_OVERHEAD_BYTES: Final = 64 * 1024

Result = TypeVar("Result")


def walk_slots(
    region: RegionFile,
    limits: Limits,
    read_slot: ReadSlot,
    quick: QuickSift | None = None,
    recall: Recall | None = None,
    *,
    steady: bool = True,
) -> RegionSlots:
    """Read every chunk of a region file.

    Parameters
    ----------
    region
        The file; one that cannot be opened gives 1024 unreadable slots and one fault.
    limits
        Bounds of reading one chunk.
    read_slot
        Called for each chunk that can be reached, in order of slots but for those that are read
        again. What it raises as damage becomes the slot's fault; it must keep nothing of a chunk
        that it raises for.
    quick
        Asked before each chunk is read; one that it knows is not read.
    recall
        Asked before each chunk is inflated; one that it knows is not read.
    steady
        Whether to make sure of each chunk that nobody writes it while it is read. Otherwise the
        file is read as one that nobody writes, which is quicker.

    Raises
    ------
    DisturbedError
        Where somebody wrote the file, or may have, and it was not read steadily. What was read of
        it counts for nothing; see `undisturbed`.
    """
    walk = SlotWalk(region, limits, read_slot, quick, recall)
    if leaves(region.path, region.boundary):
        walk.give_up("link-leaves-save", "the file is a link out of the save")
    else:
        try:
            with open_for_reading(region.path) as file:
                _walk_file(walk, file, steady=steady)
        except OSError as error:
            walk.give_up("cannot-open", f"the file cannot be read: {why(error)}")
    return RegionSlots(region, bytes(walk.status), tuple(walk.faults), tuple(sorted(walk.versions)))


def undisturbed(read: Callable[[bool], Result]) -> Result:
    """Return what reading a region gives, as if nobody had written it meanwhile.

    Parameters
    ----------
    read
        Reads it by `walk_slots` with this for `steady`; begins afresh each time.
    """
    try:
        return read(False)
    except DisturbedError:
        return read(True)


def _walk_file(walk: SlotWalk, file: BinaryIO, *, steady: bool) -> None:
    payload_limit = walk.limits.inflated_bytes + _OVERHEAD_BYTES
    if steady:
        still = SteadyReader(file, walk.region, payload_limit=payload_limit)
        slots = SteadySlots(walk, still, file)
        _walk_slots(walk, still, lambda location: slots.read(location.slot))
        slots.read_again()
        return
    reader = RegionReader(file, walk.region, payload_limit=payload_limit)
    with reader.undisturbed(file):
        _walk_slots(walk, reader, partial(_read_location, walk, reader))


def _walk_slots(
    walk: SlotWalk, reader: RegionReader, read: Callable[[Location], SlotStatus]
) -> None:
    if 0 < reader.size < HEADER_BYTES:
        detail = f"the file ends after {reader.size:,} of {HEADER_BYTES:,} bytes of its header"
        walk.faults.append(walk.fault("short-header", detail))
    header = reader.header()
    slot = 0
    while slot < SLOTS:
        if walk.quick is not None:
            slot = walk.quick.sift(reader, header, slot, walk.status, walk.versions)
        if slot < SLOTS and header[slot]:
            walk.status[slot] = read(Location.of(slot, header[slot]))
        slot += 1


def _read_location(walk: SlotWalk, reader: RegionReader, location: Location) -> SlotStatus:
    chunk = reader.chunk(location.slot)
    try:
        return walk.take(location.slot, chunk, reader.payload(location))
    except FAILURES as error:
        walk.faults.append(walk.fault_of(error, chunk, location))
        return SlotStatus.UNREADABLE
