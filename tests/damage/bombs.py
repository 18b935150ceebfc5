"""Small files that hold far too much: each stops at a limit."""

from __future__ import annotations

import gzip
import struct
import zlib
from collections.abc import Iterator
from typing import Final

from tests.damage.damage import SOUND, Damage, within
from tests.save.chunks import LZ4_END, chunk_tree, entity, lz4_block, palette_entry
from tests.save.nbt_bytes import Tag, byte, compound, name_bytes

#: Inflated size of what is too large, twice the limit.
BOMB_BYTES: Final = 64 * 1024 * 1024

# The wheel's chunk, and then a byte array that does not end before the bomb does.
_HEAD: Final = SOUND[:-1] + b"\x07" + name_bytes("ballast") + struct.pack(">i", BOMB_BYTES)


def iter_bombs() -> Iterator[Damage]:
    """Iterate over the bombs; each takes some tenths of a second to make."""
    zeros = _HEAD + bytes(BOMB_BYTES) + b"\x00"
    yield _stored("bomb-zlib", 2, zlib.compress(zeros))
    yield _stored("bomb-gzip", 1, gzip.compress(zeros, mtime=0))
    largest = 1 << 25
    pieces = [zeros[at : at + largest] for at in range(0, len(zeros), largest)]
    blocks = b"".join(lz4_block(piece, level=15) for piece in pieces)
    yield _stored("bomb-lz4", 4, blocks + LZ4_END)
    # Lists of nothing, in a list: five bytes each, and each a tag.
    count = 5_000_000
    lists = SOUND[:-1] + b"\x09" + name_bytes("lists") + struct.pack(">bi", 9, count)
    yield _stored("bomb-of-tags", 2, zlib.compress(lists + bytes(5 * count) + b"\x00"), "bad-nbt")
    names = b"\x01\x00\x01a\x00" * count
    yield _stored("bomb-of-names", 2, zlib.compress(SOUND[:-1] + names + b"\x00"), "bad-nbt")
    # Block entities of nothing: one byte each.
    empty = Tag(9, struct.pack(">bi", 10, 3_900_000) + bytes(3_900_000))
    chunk = chunk_tree(0, 0, entities=None, more={"block_entities": empty})
    yield _stored("bomb-of-entities", 2, zlib.compress(chunk))
    # A palette of nothing but different blocks, in a chunk with a part.
    entries = b"".join(palette_entry(f"quayworks:{n}").body for n in range(1_100_000))
    palette = Tag(9, struct.pack(">bi", 10, 1_100_000) + entries)
    states = compound(Y=byte(4), block_states=compound(palette=palette))
    wheel = entity("quayworks:wheel", 0, 64, 8)
    chunk = chunk_tree(0, 0, entities=[wheel], sections=[states])
    yield _stored("bomb-of-palettes", 2, zlib.compress(chunk, 1), "bad-palette")


def _stored(name: str, kind: int, payload: bytes, reason: str = "too-large") -> Damage:
    chunk = struct.pack(">iB", len(payload) + 1, kind) + payload
    return Damage(name, within(chunk), reason)
