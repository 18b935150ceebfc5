"""Chunks that say twice, at their two ends, which version of them they are."""

from __future__ import annotations

import random
import struct
import zlib
from typing import Final

from analyzer.base.place import Chunk
from tests.save.chunks import chunk_tree, entity, palette_entry
from tests.save.nbt_bytes import Tag, compound, integer, list_of

#: Id of the block entity, and block, that carries the numbers.
PART: Final = "quayworks:tide_gauge"
#: Where the numbers lie in it.
FIRST: Final = "First"
SECOND: Final = "Second"

#: More than the 255 sectors that a region can hold of one chunk.
EXTERNAL_BYTES: Final = 1_100_000


def chunk_bytes(chunk: Chunk, version: int, size: int, chance: random.Random) -> bytes:
    """Return a version of a chunk with a gauge, about so many bytes long, as a zlib stream.

    Between the two numbers lies what cannot be compressed, so that they are far apart.
    """
    number = integer(version)
    noise = chance.randbytes(size)
    ballast = Tag(7, struct.pack(">i", size) + noise)
    x, z = 16 * chunk.cx, 16 * chunk.cz
    gauge = entity(PART, x, 0, z, **{FIRST: number, "Ballast": ballast, SECOND: number})
    palette = compound(palette=list_of(palette_entry(PART)))
    section = compound(Y=Tag(1, b"\x00"), block_states=palette)
    tree = chunk_tree(chunk.cx, chunk.cz, entities=[gauge], sections=[section])
    return zlib.compress(tree, 1)


def bare_bytes(chunk: Chunk, size: int, chance: random.Random) -> bytes:
    """Return a chunk without any block entity, as a zlib stream."""
    ballast = Tag(7, struct.pack(">i", size) + chance.randbytes(size))
    return zlib.compress(chunk_tree(chunk.cx, chunk.cz, more={"Ballast": ballast}), 1)
