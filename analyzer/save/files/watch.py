"""Which chunks were written while a save was being read (docs/reliability.md, Saves in use)."""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from struct import Struct
from typing import Final

from analyzer.base.place import SLOTS
from analyzer.save.files.file_state import SETTLED_NS, FileState
from analyzer.save.files.lock import find_open_elsewhere
from analyzer.save.files.opening import leaves, open_for_reading
from analyzer.save.files.region import HEADER_BYTES
from analyzer.save.files.save_files import RegionFile, SaveFiles

# The locations of all slots, and then their timestamps, in seconds since 1970.
_NUMBERS: Final = Struct(f">{2 * SLOTS}I")


@dataclass(frozen=True)
class _First:
    """What a region file was like at first; its header only where its times tell too little."""

    region: RegionFile
    state: FileState
    header: tuple[int, ...] | None


@dataclass(frozen=True)
class Watch:
    """What the region files of a save were like before the first of them was read.

    Parameters
    ----------
    begun_ns
        When that was, in nanoseconds since 1970.
    first
        What each was like, by its path relative to the save; without those that cannot be read.
    open_elsewhere
        Whether another program held the save open then; None where that could not be told.
    """

    begun_ns: int
    first: Mapping[str, _First]
    open_elsewhere: bool | None


def begin_watch(
    regions: Iterable[RegionFile], locks: Iterable[Path] | None, *, locks_tell: bool
) -> Watch:
    """Look at region files and lock files before the regions are read.

    Notes
    -----
    Costs one question to the system a file, about 2 µs; of files that were written within the last
    two seconds the header is read as well.
    """
    begun_ns = time.time_ns()
    first = {}
    for region in regions:
        state = _state(region)
        if state is not None:
            settled = begun_ns - state.latest_ns >= SETTLED_NS
            first[region.file] = _First(region, state, None if settled else _header(region))
    return Watch(begun_ns, first, find_open_elsewhere(locks, tells=locks_tell))


def watched_anew(files: SaveFiles) -> SaveFiles:
    """Return the files of a save that is not read before now, though it was opened earlier."""
    watch = begin_watch(files.regions, files.locks, locks_tell=files.locks_tell)
    return replace(files, watch=watch)


def written_meanwhile(files: SaveFiles) -> dict[str, frozenset[int]]:
    """Return the slots whose chunks were written since a save was opened, by the region's path.

    Where a file was written and nothing tells which of its chunks, all of its slots are returned.
    A file that was not written is left out.
    """
    written: dict[str, frozenset[int]] = {}
    if files.watch is None:
        return written
    for region in files.regions:
        first = files.watch.first.get(region.file)
        slots = None if first is None else _written(files.watch, first)
        if slots:
            written[region.file] = slots
    return written


def _written(watch: Watch, first: _First) -> frozenset[int]:
    same = _state(first.region) == first.state
    if same and first.header is None:
        # Whoever wrote it would have changed its times.
        return frozenset()
    header = _header(first.region)
    if header is None:
        return frozenset(range(SLOTS))
    if first.header is not None:
        pairs = enumerate(zip(first.header, header, strict=True))
        slots = {number % SLOTS for number, (then, now) in pairs if then != now}
    else:
        begun = watch.begun_ns // 10**9
        slots = {slot for slot in range(SLOTS) if header[SLOTS + slot] >= begun}
    if not slots and not same:
        return frozenset(range(SLOTS))
    return frozenset(slots)


def _state(region: RegionFile) -> FileState | None:
    """Return the state of a region file; None where it is not there, or not of the save."""
    try:
        result = os.lstat(region.path)
        if stat.S_ISLNK(result.st_mode):
            if leaves(region.path, region.boundary):
                return None
            result = os.stat(region.path)  # noqa: PTH116 - pathlib is slower
    except (OSError, ValueError):
        return None
    return FileState.of(result) if stat.S_ISREG(result.st_mode) else None


def _header(region: RegionFile) -> tuple[int, ...] | None:
    if leaves(region.path, region.boundary):
        return None
    try:
        with open_for_reading(region.path) as file:
            pages = file.read(HEADER_BYTES)
    except OSError:
        return None
    return _NUMBERS.unpack(pages.ljust(HEADER_BYTES, b"\x00"))
