"""A region file that is written as a server writes it, one chunk after the other.

The order of writing is that of docs/reliability.md, Saves in use: the chunk into free sectors, then
the header, then the old sectors are free again; a chunk too large for the file goes into a file of
its own, written under another name and moved into its place behind the header.
"""

from __future__ import annotations

import os
import struct
import time
from pathlib import Path
from typing import Final

from analyzer.base.place import Chunk, chunk_of_slot

_SECTOR: Final = 4096


class LiveRegion:
    """A region file open for writing.

    Parameters
    ----------
    folder, rx, rz
        Where it lies and which one it is; it begins without chunks.
    in_place
        Write a chunk over its former version where that has as many sectors, as servers before
        1.15 do (from memory), in several pieces.
    """

    def __init__(self, folder: Path, rx: int, rz: int, *, in_place: bool = False) -> None:
        self._folder = folder
        self._at = rx, rz
        self._in_place = in_place
        self._file = (folder / f"r.{rx}.{rz}.mca").open("w+b", buffering=0)
        self._header = bytearray(2 * _SECTOR)
        self._used = [True, True]
        self._file.write(self._header)

    def write(self, slot: int, stream: bytes) -> None:
        """Write a chunk's zlib stream."""
        data = struct.pack(">iB", len(stream) + 1, 2) + stream
        external: Path | None = None
        if len(data) > 255 * _SECTOR:
            external = self._folder / f"tmp{slot}"
            external.write_bytes(stream)
            data = struct.pack(">iB", 1, 2 | 128)
        count = -(-len(data) // _SECTOR)
        (old,) = struct.unpack_from(">I", self._header, 4 * slot)
        if self._in_place and old & 255 == count and not external:
            self._over(old >> 8, data)
            self._put(4096 + 4 * slot, int(time.time()))
            os.pwrite(self._file.fileno(), self._header[4096:], 4096)
            return
        sector = self._allocate(count)
        os.pwrite(self._file.fileno(), data, sector * _SECTOR)
        self._put(4 * slot, sector << 8 | count)
        self._put(4096 + 4 * slot, int(time.time()))
        os.pwrite(self._file.fileno(), self._header, 0)
        own = self._own_file(slot)
        if external is not None:
            external.replace(own)
        else:
            own.unlink(missing_ok=True)
        for number in range(old >> 8, (old >> 8) + (old & 255)):
            self._used[number] = False

    def _own_file(self, slot: int) -> Path:
        chunk: Chunk = chunk_of_slot(*self._at, slot)
        return self._folder / f"c.{chunk.cx}.{chunk.cz}.mcc"

    def _over(self, sector: int, data: bytes) -> None:
        half = len(data) // 2
        for start, stop in ((0, 4), (4, 5), (5, half), (half, len(data))):
            os.pwrite(self._file.fileno(), data[start:stop], sector * _SECTOR + start)

    def _allocate(self, count: int) -> int:
        run = 0
        for number, used in enumerate(self._used):
            run = 0 if used else run + 1
            if run == count:
                start = number - count + 1
                break
        else:
            start = len(self._used) - run
            self._used += [True] * (count - run)
        self._used[start : start + count] = [True] * count
        return start

    def _put(self, offset: int, number: int) -> None:
        struct.pack_into(">I", self._header, offset, number)
