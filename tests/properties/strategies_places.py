"""Strategies for places: on both sides of the borders of sections, chunks and regions."""

from __future__ import annotations

from functools import cache

from hypothesis import strategies as st

from analyzer.base.place import Block, Chunk

CHUNK = 16
REGION = 32 * CHUNK
#: Farthest border of a region within the game's world, which ends at 30,000,000 (from memory).
FARTHEST = 58_593 * REGION

#: Borders of regions and of chunks; a border is the least coordinate of what lies behind it.
BORDERS = (
    *(REGION * number for number in (0, -1, 1, -2, 2)),
    *(CHUNK * number for number in (1, -1, 31, -31, 33, -33)),
    FARTHEST,
    -FARTHEST,
)
#: Coordinates on both sides of a border, and across the chunks there.
COORDINATES = st.sampled_from(
    [border + by for border in BORDERS for by in (0, -1, 1, -2, 7, 15, -16)]
)


@cache
def blocks(sections: range) -> st.SearchStrategy[Block]:
    """Draw positions of blocks in some sections, mostly lowest or highest in one of them."""
    chosen = (0, 4, sections[0], sections[-1], *sections)
    heights = [CHUNK * section + within for section in chosen for within in (0, 15, 0, 15, 6)]
    return st.builds(Block, COORDINATES, st.sampled_from(heights), COORDINATES)


def chunk_of(block: Block) -> Chunk:
    """Return the chunk in which a block lies."""
    return Chunk(block.x // CHUNK, block.z // CHUNK)
