"""A region file: a header of 1024 slots, and the compressed chunk that each slot leads to.

The rules are those of the game's own reader (docs/save-format.md, Regions), except that what the
game drops in silence is reported here.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from struct import Struct
from struct import error as StructError  # noqa: N812 - struct names its exception in lower case
from typing import BinaryIO, Final, NamedTuple

from analyzer.base.place import SLOTS, Chunk, chunk_of_slot
from analyzer.save.files.file_state import DisturbedError, FileState
from analyzer.save.files.opening import leaves, open_for_reading, why
from analyzer.save.files.save_files import RegionFile
from analyzer.save.nbt.damage import DamageError

SECTOR_BYTES: Final = 4096

#: Locations and timestamps, one sector each.
HEADER_BYTES: Final = 2 * SECTOR_BYTES

# A chunk's length (which counts the compression byte), and that byte.
_CHUNK_HEADER: Final = Struct(">iB")
_LOCATIONS: Final = Struct(f">{SLOTS}I")

# Set in the compression byte where the payload lies in a file of its own.
_EXTERNAL: Final = 0x80

# A count of sectors that means "this many or more": see the chunk's own length.
_MANY_SECTORS: Final = 255


class Location(NamedTuple):
    """Where a slot says that its chunk lies: its first sector, and how many it takes."""

    slot: int
    sector: int
    sectors: int

    @classmethod
    def of(cls, slot: int, stored: int) -> Location:
        """Return a location as a header stores it."""
        return cls(slot, stored >> 8, stored & 0xFF)

    @property
    def offset(self) -> int:
        """Offset of the chunk in the file, in bytes."""
        return self.sector * SECTOR_BYTES


@dataclass(frozen=True)
class Payload:
    """A chunk's bytes as they are stored, and how they are compressed."""

    compression: int
    data: bytes


class RegionReader:
    """An open region file.

    Parameters
    ----------
    file
        The open file.
    region
        What it is, to find the files beside it.
    payload_limit
        Largest payload that is read, in bytes.

    Attributes
    ----------
    size
        Of the file, in bytes, when it was opened.
    read_at
        Reads at most so many bytes from an offset.
    """

    def __init__(self, file: BinaryIO, region: RegionFile, *, payload_limit: int) -> None:
        self._file = file
        self._region = region
        self._payload_limit = payload_limit
        self.size = file.seek(0, 2)
        self.read_at = self._read_at()

    def header(self) -> tuple[int, ...]:
        """Read the location of each slot, 0 for none; a short header reads as zeros."""
        self._file.seek(0)
        header = _read(self._file, _LOCATIONS.size).ljust(_LOCATIONS.size, b"\x00")
        return _LOCATIONS.unpack(header)

    def chunk(self, slot: int) -> Chunk:
        """Return the chunk that a slot is for."""
        return chunk_of_slot(self._region.rx, self._region.rz, slot)

    def iter_zlib(
        self, header: tuple[int, ...], slot: int, most: int
    ) -> Iterator[tuple[int, bytes | None]]:
        """Iterate over the slots with a location, from one on, and their zlib streams.

        At most so many bytes of each are read. None stands for whatever else a location leads to,
        sound or not: see `payload`.
        """
        read, unpack = self.read_at, _CHUNK_HEADER.unpack_from
        file_size, longest = self.size, self._payload_limit
        most += _CHUNK_HEADER.size
        # Numbers instead of their names: this runs once for nearly every chunk of a save.
        for number in range(slot, SLOTS):
            location = header[number]
            if not location:
                continue
            offset, room = location >> 8 << 12, (location & 255) << 12
            if offset < 8192 or room == 255 << 12:
                yield number, None
                continue
            try:
                stored = read(most if most < room else room, offset)
                length, kind = unpack(stored)
            except (OSError, StructError):
                yield number, None
                continue
            end = length + 4
            if kind == 2 and 0 < length <= longest and end <= room and end <= file_size - offset:
                yield number, stored[5:end]
            else:
                yield number, None

    def _read_at(self) -> Callable[[int, int], bytes]:
        """Return a function that reads at most so many bytes from an offset."""
        # Not every system can seek and read in one call.
        if hasattr(os, "pread"):
            return partial(os.pread, self._file.fileno())
        return self._seek_and_read

    def _seek_and_read(self, size: int, offset: int) -> bytes:
        self._file.seek(offset)
        return self._file.read(size)

    def payload(self, location: Location) -> Payload:
        """Read what a location leads to.

        Raises
        ------
        DamageError
            Where it leads to nothing that can be a chunk.
        """
        offset = location.offset
        if location.offset < HEADER_BYTES:
            raise DamageError("in-header", "the slot points into the region's header", offset)
        if location.sectors == 0:
            raise DamageError("no-sectors", "the slot has a place but no length", offset)
        room = self.size - offset
        if room <= 0:
            raise DamageError(
                "beyond-end",
                f"the slot points to byte {offset:,} of a file of {self.size:,} bytes",
                offset,
            )
        if location.sectors != _MANY_SECTORS:
            room = min(room, location.sectors * SECTOR_BYTES)
        if room < _CHUNK_HEADER.size:
            raise DamageError("cut-chunk-header", f"only {room} bytes are left there", offset)
        self._file.seek(offset)
        head = _read(self._file, _CHUNK_HEADER.size)
        if len(head) < _CHUNK_HEADER.size:
            raise DamageError("cut-chunk-header", "the file ends there", offset)
        length, kind = _CHUNK_HEADER.unpack(head)
        if length <= 0:
            raise DamageError("bad-length", f"the chunk states a length of {length:,}", offset)
        if kind & _EXTERNAL:
            return Payload(kind ^ _EXTERNAL, self._external(self.chunk(location.slot)))
        if length + 4 > room:
            raise DamageError(
                "bad-length",
                f"the chunk states a length of {length:,} where {room - 4:,} bytes have room",
                offset,
            )
        return Payload(kind, self._bytes(self._file, length - 1))

    def _external(self, chunk: Chunk) -> bytes:
        name = f"c.{chunk.cx}.{chunk.cz}.mcc"
        path = self._region.path.parent / name
        if leaves(path, self._region.boundary):
            raise DamageError("link-leaves-save", f"its file {name} is a link out of the save")
        try:
            with open_for_reading(path) as file:
                size = file.seek(0, 2)
                file.seek(0)
                with self.undisturbed(file):
                    return self._bytes(file, size)
        except FileNotFoundError as error:
            raise DamageError("external-missing", f"its file {name} is missing") from error
        except OSError as error:
            raise DamageError(
                "external-unreadable", f"its file {name} cannot be read: {why(error)}"
            ) from error

    @contextmanager
    def undisturbed(self, file: BinaryIO) -> Iterator[None]:
        """Read a file here only while nobody writes it.

        Raises
        ------
        DisturbedError
            Where somebody did, or where that could not be told.
        """
        before = FileState.of(os.fstat(file.fileno()))
        if not before.is_settled():
            raise DisturbedError
        yield
        if FileState.of(os.fstat(file.fileno())) != before:
            raise DisturbedError

    def _bytes(self, file: BinaryIO, size: int) -> bytes:
        if size > self._payload_limit:
            raise DamageError(
                "too-large",
                f"{size:,} compressed bytes are more than the limit of {self._payload_limit:,}",
            )
        data = _read(file, size)
        if len(data) < size:
            raise DamageError("bad-length", f"the file ends {size - len(data):,} bytes too soon")
        return data


def _read(file: BinaryIO, size: int) -> bytes:
    # An unbuffered file may give less than it holds.
    pieces = []
    while size > 0 and (piece := file.read(size)):
        pieces.append(piece)
        size -= len(piece)
    return b"".join(pieces)
