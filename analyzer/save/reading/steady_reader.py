"""Reading chunks of a region file that another program may be writing (docs/reliability.md)."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from struct import Struct
from typing import BinaryIO, Final

from analyzer.save.files.region import HEADER_BYTES, SECTOR_BYTES, Location, Payload, RegionReader
from analyzer.save.nbt.damage import DamageError

# A slot's location and, one sector later, its timestamp.
_PAGE_SLOT_BYTES: Final = 4
_NUMBER: Final = Struct(">I")

# How often a chunk is read at once, before others are read first.
_TRIES: Final = 3


class MovingError(Exception):
    """A chunk was written again each time it was read."""


class SteadyReader(RegionReader):
    """An open region file of which a chunk counts only if nothing changed while it was read.

    A chunk is taken if its slot's location and timestamp were the same before it was read, after
    it was read and after it was read once more, and both readings gave the same bytes. Programs
    that write a chunk into free sectors before they change its slot have then written it wholly,
    and had not yet begun to use its sectors again.
    """

    def entry(self, slot: int) -> bytes:
        """Read a slot's location and timestamp as they are now, as 8 bytes."""
        start = _PAGE_SLOT_BYTES * slot
        read = self.read_at(SECTOR_BYTES + _PAGE_SLOT_BYTES, start)
        read = read.ljust(SECTOR_BYTES + _PAGE_SLOT_BYTES, b"\x00")
        return read[:_PAGE_SLOT_BYTES] + read[SECTOR_BYTES:]

    def header(self) -> tuple[int, ...]:
        """Read the location of each slot, and keep its timestamp, too."""
        self._pages = self.read_at(HEADER_BYTES, 0).ljust(HEADER_BYTES, b"\x00")
        return tuple(number for (number,) in _NUMBER.iter_unpack(self._pages[:SECTOR_BYTES]))

    def iter_zlib(
        self, header: tuple[int, ...], slot: int, most: int
    ) -> Iterator[tuple[int, bytes | None]]:
        """Iterate as a plain reader does; None as well for whatever may have changed."""
        for number, stream in super().iter_zlib(header, slot, most):
            if stream is not None:
                start = _PAGE_SLOT_BYTES * number
                entry = (
                    self._pages[start : start + _PAGE_SLOT_BYTES]
                    + self._pages[SECTOR_BYTES + start : SECTOR_BYTES + start + _PAGE_SLOT_BYTES]
                )
                again = super().iter_zlib(header, number, most)
                if (
                    self.entry(number) != entry
                    or next(again) != (number, stream)
                    or self.entry(number) != entry
                ):
                    yield number, None
                    continue
            yield number, stream

    def steady_payload(self, slot: int) -> tuple[bytes, Location, Payload | DamageError]:
        """Read what a slot leads to now.

        Returns
        -------
        entry, location, payload
            What the slot says, and what it leads to; damage where that can be no chunk.

        Raises
        ------
        MovingError
            Where that changed each time.
        """
        for _ in range(_TRIES):
            entry = self.entry(slot)
            location = Location.of(slot, _NUMBER.unpack_from(entry)[0])
            payload = self._payload_or_damage(location)
            if self.entry(slot) != entry:
                continue
            again = self._payload_or_damage(location)
            if self.entry(slot) == entry and _same(payload, again):
                return entry, location, payload
        raise MovingError

    @contextmanager
    def undisturbed(self, file: BinaryIO) -> Iterator[None]:
        """Read a file; that nobody wrote it is seen when it is read once more."""
        yield

    def _payload_or_damage(self, location: Location) -> Payload | DamageError:
        self.size = os.fstat(self._file.fileno()).st_size
        try:
            return self.payload(location)
        except DamageError as damage:
            return damage


def _same(one: Payload | DamageError, other: Payload | DamageError) -> bool:
    if isinstance(one, DamageError) and isinstance(other, DamageError):
        return one.args == other.args
    return one == other
