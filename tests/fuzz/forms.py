"""Inputs in few bytes, and what is made of them: any bytes at all give some region file.

A region file begins with 8 KiB of mostly nothing; a fuzzer that had to change those would change
little else.
"""

from __future__ import annotations

import gzip
import struct
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from tests.save.chunks import LZ4_END, SECTOR, lz4_block, region

_HEADER_BYTES: Final = 2 * SECTOR
_MOST_SLOTS: Final = 12
_CHUNK: Final = struct.Struct(">HBH")
_HEAD: Final = struct.Struct(">BBHI")
_LOCATION: Final = struct.Struct(">HI")


@dataclass(frozen=True)
class SlotsForm:
    """A region file: locations by slot, what stands behind the header, how much of it is there.

    Parameters
    ----------
    locations
        (slot, stored location).
    external
        Bytes of the file beside it that chunk (0, 0) may point to; None for no such file.
    body
        What follows the header.
    lost
        How many bytes are cut off at the end.
    """

    locations: Sequence[tuple[int, int]]
    external: bytes | None
    body: bytes
    lost: int = 0

    def packed(self) -> bytes:
        external = self.external or b""
        head = _HEAD.pack(len(self.locations), self.external is not None, len(external), self.lost)
        places = b"".join(_LOCATION.pack(slot, location) for slot, location in self.locations)
        return head + places + external + self.body

    @classmethod
    def of(cls, data: bytes) -> SlotsForm:
        """Return the form of any bytes."""
        count, has_external, length, lost = _HEAD.unpack(
            data[: _HEAD.size].ljust(_HEAD.size, b"\0")
        )
        at = _HEAD.size
        locations = []
        for _ in range(count % (_MOST_SLOTS + 1)):
            piece = data[at : at + _LOCATION.size]
            if len(piece) < _LOCATION.size:
                break
            slot, location = _LOCATION.unpack(piece)
            locations.append((slot % 1024, location))
            at += _LOCATION.size
        external = data[at : at + length]
        return cls(locations, external if has_external & 1 else None, data[at + length :], lost)

    def file(self) -> bytes:
        """Return the region file."""
        header = bytearray(_HEADER_BYTES)
        for slot, location in self.locations:
            struct.pack_into(">I", header, 4 * slot, location)
        whole = bytes(header) + self.body
        return whole[: len(whole) - self.lost % (len(whole) + 1)]


@dataclass(frozen=True)
class ChunksForm:
    """Trees of chunks, each with its slot and compression; they are compressed when it is used."""

    chunks: Sequence[tuple[int, int, bytes]]

    def packed(self) -> bytes:
        return b"".join(
            _CHUNK.pack(slot, kind, len(tree)) + tree for slot, kind, tree in self.chunks
        )

    @classmethod
    def of(cls, data: bytes) -> ChunksForm:
        """Return the form of any bytes."""
        return cls(list(_iter_chunks(data)))

    def file(self) -> bytes:
        """Return the region file; of chunks for one slot the last."""
        return region({slot: _stored(tree, kind) for slot, kind, tree in self.chunks})


def _iter_chunks(data: bytes) -> Iterator[tuple[int, int, bytes]]:
    at = 0
    for _ in range(_MOST_SLOTS):
        piece = data[at : at + _CHUNK.size]
        if len(piece) < _CHUNK.size:
            return
        slot, kind, length = _CHUNK.unpack(piece)
        at += _CHUNK.size
        yield slot % 1024, kind, data[at : at + length]
        at += length


def compressed(tree: bytes, kind: int) -> tuple[int, bytes]:
    """Return a compression and a tree compressed by it; most numbers stand for zlib."""
    match kind:
        case 1:
            return 1, gzip.compress(tree, 1, mtime=0)
        case 3:
            return 3, tree
        case 4:
            pieces = [tree[at : at + 65536] for at in range(0, len(tree), 65536)]
            return 4, b"".join(map(lz4_block, pieces)) + LZ4_END
        case _:
            return 2, zlib.compress(tree, 1)


def _stored(tree: bytes, kind: int) -> bytes:
    compression, payload = compressed(tree, kind)
    return struct.pack(">iB", len(payload) + 1, compression) + payload
