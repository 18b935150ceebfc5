"""Strategies for places: on both sides of the borders of sections, chunks and regions."""

from __future__ import annotations

from hypothesis import strategies as st

from analyzer.base.place import Block, Chunk

CHUNK = 16
REGION = 32 * CHUNK
#: Farthest border of a region within the game's world, which ends at 30,000,000 (from memory).
FARTHEST = 58_593 * REGION

#: Borders of regions and of chunks; a border is the least coordinate of what lies behind it.
BORDERS = st.sampled_from(
    [
        *(REGION * number for number in (0, -1, 1, -2, 2)),
        *(CHUNK * number for number in (1, -1, 31, -31, 33, -33)),
        FARTHEST,
        -FARTHEST,
    ]
)
#: Coordinates beside a border, or anywhere in the chunks beside it.
COORDINATES = st.builds(
    int.__add__, BORDERS, st.sampled_from([0, -1, 1, -2, 15, -16]) | st.integers(-CHUNK, CHUNK - 1)
)


def heights(sections: range) -> st.SearchStrategy[int]:
    """Draw heights in some sections, mostly the lowest or highest of one."""
    return st.builds(
        lambda section, within: CHUNK * section + within,
        st.sampled_from([sections[0], sections[-1], 0, 4]) | st.sampled_from(sections),
        st.sampled_from([0, 15]) | st.integers(0, 15),
    )


def blocks(sections: range) -> st.SearchStrategy[Block]:
    """Draw positions of blocks."""
    return st.builds(Block, COORDINATES, heights(sections), COORDINATES)


def chunk_of(block: Block) -> Chunk:
    """Return the chunk in which a block lies."""
    return Chunk(block.x // CHUNK, block.z // CHUNK)
