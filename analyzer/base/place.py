"""Where things lie: blocks, sections, chunks and regions, and how they are written.

A chunk is 16 × 16 blocks, a region 32 × 32 chunks; a slot is a chunk's place in its region's
header (docs/save-format.md, Regions).
"""

from __future__ import annotations

from typing import Final, NamedTuple

#: Slots of one region file: 32 × 32 chunks.
SLOTS: Final = 1024


class Block(NamedTuple):
    """A block's position in its dimension, in blocks."""

    x: int
    y: int
    z: int


class Chunk(NamedTuple):
    """A chunk's position in its dimension, in chunks."""

    cx: int
    cz: int


def slot_of(chunk: Chunk) -> int:
    """Return the slot of a chunk in its region's header, 0 to 1023.

    >>> slot_of(Chunk(-1, 2))
    95
    """
    return (chunk.cx & 31) + 32 * (chunk.cz & 31)


def chunk_of_slot(rx: int, rz: int, slot: int) -> Chunk:
    """Return the chunk that a slot of region (rx, rz) holds.

    >>> chunk_of_slot(-1, 0, 95)
    Chunk(cx=-1, cz=2)
    """
    return Chunk(32 * rx + (slot & 31), 32 * rz + (slot >> 5))


def network_id(dimension: str, anchor: Block) -> str:
    """Return a network's name: its dimension and its member smallest by (x, y, z).

    >>> network_id("minecraft:overworld", Block(3, 64, -20))
    'minecraft:overworld:3,64,-20'
    """
    return f"{dimension}:{anchor.x},{anchor.y},{anchor.z}"
