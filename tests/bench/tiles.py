"""Real chunks as templates: the same bytes at any place, with their positions put right.

The walk below is plain and serves the benches alone; it shares nothing with the tool.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import nbtlib

_SIZES = {1: 1, 2: 2, 3: 4, 4: 8, 5: 4, 6: 8}
_ARRAYS = {7: 1, 11: 4, 12: 8}
_INT, _STRING, _LIST, _COMPOUND = 3, 8, 9, 10
_POSITIONS = {("xPos",): ("x", 1), ("zPos",): ("z", 1)}


@dataclass(frozen=True)
class Tile:
    """A chunk's content and where its positions stand.

    Parameters
    ----------
    data
        The inflated content.
    patches
        (offset, axis, blocks or chunks a chunk, what is added) of each position, as a big-endian
        integer of four bytes.
    """

    data: bytes
    patches: tuple[tuple[int, str, int, int], ...]

    def at(self, cx: int, cz: int) -> bytes:
        """Return the content for another place."""
        content = bytearray(self.data)
        for offset, axis, scale, more in self.patches:
            struct.pack_into(">i", content, offset, scale * (cx if axis == "x" else cz) + more)
        return bytes(content)


def tile_of(data: bytes) -> Tile:
    """Find the positions in a chunk of 1.18 or later."""
    patches = []
    for path, offset in _ints(data):
        if path in _POSITIONS:
            axis, scale = _POSITIONS[path]
            patches.append((offset, axis, scale, 0))
        elif len(path) == 3 and path[0] == "block_entities" and path[2] in ("x", "z"):
            (block,) = struct.unpack_from(">i", data, offset)
            patches.append((offset, str(path[2]), 16, block & 15))
    return Tile(data, tuple(patches))


def full_chunks(region: Path) -> list[bytes]:
    """Return the contents of the finished chunks of a region file."""
    data = region.read_bytes()
    found = []
    for slot in range(1024):
        (location,) = struct.unpack_from(">I", data, 4 * slot)
        if location:
            at = (location >> 8) * 4096
            (length,) = struct.unpack_from(">I", data, at)
            content = zlib.decompressobj().decompress(data[at + 5 : at + 4 + length])
            if parse(content).get("Status") == "minecraft:full":
                found.append(content)
    return found


def parse(content: bytes) -> Any:
    """Return a chunk's root; its keys keep their order."""
    return nbtlib.File.parse(io.BytesIO(content))


def written(root: Any) -> bytes:
    """Return the bytes of a root."""
    out = io.BytesIO()
    root.write(out)
    return out.getvalue()


def _ints(data: bytes) -> Iterator[tuple[tuple[str | int, ...], int]]:
    """Yield the path and offset of every integer of four bytes."""
    (length,) = struct.unpack_from(">H", data, 1)
    yield from _walk(data, [3 + length], _COMPOUND, ())


def _walk(
    data: bytes, at: list[int], tag: int, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], int]]:
    """Walk the payload at `at`, and leave `at` behind it."""
    here = at[0]
    if tag in _SIZES:
        if tag == _INT:
            yield path, here
        at[0] += _SIZES[tag]
    elif tag in _ARRAYS:
        at[0] += 4 + _ARRAYS[tag] * struct.unpack_from(">i", data, here)[0]
    elif tag == _STRING:
        at[0] += 2 + struct.unpack_from(">H", data, here)[0]
    elif tag == _LIST:
        inner, count = struct.unpack_from(">bi", data, here)
        at[0] += 5
        for index in range(count):
            yield from _walk(data, at, inner, (*path, index))
    else:
        while inner := data[at[0]]:
            (length,) = struct.unpack_from(">H", data, at[0] + 1)
            name = data[at[0] + 3 : at[0] + 3 + length].decode()
            at[0] += 3 + length
            yield from _walk(data, at, inner, (*path, name))
        at[0] += 1
