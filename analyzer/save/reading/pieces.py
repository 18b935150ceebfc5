"""What chunks with parts gave to a region's record, so that the same bytes need no second parsing.

A region file changes whenever one of its 1024 chunks is saved. The others are the same bytes as
before, in the same place or elsewhere in the file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.region import Payload

#: Most names in a piece; a chunk with more unknown blocks and block entities is parsed each time.
MOST_NAMES: Final = 200

_DIGEST_BYTES: Final = 16


class Extent(NamedTuple):
    """Some rows of the tables of a record: of cells, of readings, and of bare blocks."""

    cells: int
    readings: int
    bare: int


@dataclass(frozen=True)
class ChunkPiece:
    """What one chunk gave to the record of its region.

    Parameters
    ----------
    slot
        The chunk's slot.
    digest
        Of its payload and compression.
    data_version
        Its data version, where it has one.
    start, stop
        The rows of the record's tables that it gave.
    leftovers
        What was not kept of it.
    strangers
        The unknown block names of each of its palettes, sorted.
    """

    slot: int
    digest: bytes
    data_version: int | None
    start: Extent
    stop: Extent
    leftovers: Leftovers
    strangers: tuple[tuple[str, ...], ...]

    @property
    def status(self) -> SlotStatus:
        """How its slot ends: only a chunk that was walked whole can have parts."""
        return SlotStatus.READ

    @property
    def names(self) -> int:
        """How many names it holds."""
        return len(self.leftovers.unknown) + sum(map(len, self.strangers))

    @property
    def characters(self) -> int:
        """How many characters these names have."""
        unknown = sum(len(name) for name, _ in self.leftovers.unknown)
        return unknown + sum(len(name) for names in self.strangers for name in names)


def digest_of(payload: Payload) -> bytes:
    """Return the digest by which a payload is known again."""
    # Most processes of a scan never need it, and it takes long to import.
    from hashlib import blake2b

    digest = blake2b(bytes([payload.compression]), digest_size=_DIGEST_BYTES)
    digest.update(payload.data)
    return digest.digest()
