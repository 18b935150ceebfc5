"""The block states of real saves are those that a library for region files reads."""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping
from functools import cache

import pytest

from analyzer.base.place import Block, Chunk
from analyzer.save.chunk.palette import PaletteReader
from tests.outside.judged_library import HEIGHTS, LibraryChunk
from tests.outside.judged_regions import (
    DERIVED,
    WRITTEN_SAVES,
    held,
    inventory,
    needs_worlds,
    read_by_tool,
    sample,
)
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Reading a save: reference libraries"
READABLE = sorted((*WRITTEN_SAVES, *DERIVED))
POSITIONS = 1000
CHUNKS = 20
SECTIONS = 2
CELLS = 4096
LIBRARY = Source(
    Evidence.LIBRARY,
    "anvil-parser2: Region, Chunk.get_block, stream_blocks, tile_entities",
    "github.com/0xTiger/anvil-parser2, pypi.org/project/anvil-parser2",
)
NOT_ASKED = (
    "it takes a section of one block without indices (1.18 and later) for air, so nbtlib is asked"
    " for the palette's one entry there; it reads no LZ4, gzip, plain or external chunks, so the"
    " saves packed in these ways are held against its reading of the save that they were made from;"
    " it refuses heights beyond -64 to 319; before 1.13 the tool reads no blocks"
)
AT_ENTITIES = Check(
    SUBJECT,
    "BLOCK1",
    f"block and id at every block entity of {len(READABLE)} real saves of 1.13 to 26.1",
    "the same name and properties, the same id, and no other block entity in these chunks",
    LIBRARY,
    why=NOT_ASKED,
    result="agrees; the library reads each of these versions",
)
AT_RANDOM = Check(
    SUBJECT,
    "BLOCK2",
    f"the block at {POSITIONS} random positions a region of the same saves, in up to {CHUNKS}"
    " chunks; half of them in sections of several blocks, a quarter in solid ones",
    "the same name and properties",
    LIBRARY,
    why=NOT_ASKED,
    result="agrees; the library reads each of these versions",
)
WHOLE_SECTIONS = Check(
    SUBJECT,
    "BLOCK3",
    f"all blocks of {SECTIONS} random sections a region of the same saves, unpacked at once",
    "the same name and properties in each of 4,096 cells",
    LIBRARY,
    why="sections without indices are left out",
)
pytestmark = needs_worlds


@checked(AT_ENTITIES)
@pytest.mark.parametrize("save", READABLE)
def test_the_block_at_every_block_entity_is_the_librarys(save: str) -> None:
    found = inventory(save)
    rows = {row.at: (row.id, found.states[row.state]) for row in found.rows}
    chunks = {Chunk(at.x // 16, at.z // 16) for at in rows}
    library = [LibraryChunk(one) for one in held(_judge_of(save)) if one.chunk in chunks]
    assert rows == {
        at: (name, chunk.state_at(at)) for chunk in library for at, name in chunk.entities().items()
    }


@checked(AT_RANDOM)
@pytest.mark.parametrize("save", READABLE)
def test_the_block_at_a_random_position_is_the_librarys(save: str) -> None:
    library = _library(save)
    sections = {
        chunk: content.sections(PaletteReader())
        for chunk, content in read_by_tool(save, library.keys()).items()
    }
    draw = random.Random(save)
    seen = Counter()
    for chunks in _by_region(library):
        mixed = _sections(library, chunks, LibraryChunk.mixed)
        solid = _sections(library, chunks, LibraryChunk.solid)
        for number in range(POSITIONS):
            # Mostly where there is something to tell, and a quarter anywhere.
            anywhere = [(draw.choice(chunks), draw.choice(HEIGHTS) // 16)]
            chunk, height = draw.choice((anywhere, mixed, mixed, solid)[number % 4] or anywhere)
            at = _cell(chunk, height, draw.randrange(CELLS))
            state = sections[chunk].state_at(at)
            assert state == library[chunk].state_at(at)
            seen[state] += 1
    assert len(seen) > 4


@checked(WHOLE_SECTIONS)
@pytest.mark.parametrize("save", READABLE)
def test_all_blocks_of_a_section_are_the_librarys(save: str) -> None:
    library = _library(save)
    contents = read_by_tool(save, library.keys())
    draw = random.Random(save)
    for chunks in _by_region(library):
        mixed = _sections(library, chunks, LibraryChunk.mixed)
        for chunk, height in draw.sample(mixed, min(SECTIONS, len(mixed))):
            sections = contents[chunk].sections(PaletteReader())
            names = {state.name for state in dict(sections.iter_palettes(None))[height]}
            cells = {
                Block(*at): state
                for state, places in sections.iter_cells(height, names, chunk)
                for at in places.tolist()
            }
            expected = list(library[chunk].states_in(height))
            assert [cells[_cell(chunk, height, n)] for n in range(CELLS)] == expected


@cache
def _library(save: str) -> dict[Chunk, LibraryChunk]:
    """Return some random chunks of a save as the library reads them."""
    return {one.chunk: LibraryChunk(one) for one in sample(_judge_of(save), CHUNKS)}


def _judge_of(save: str) -> str:
    return DERIVED.get(save, save)


def _by_region(chunks: Iterable[Chunk]) -> list[list[Chunk]]:
    regions: dict[tuple[int, int], list[Chunk]] = defaultdict(list)
    for chunk in chunks:
        regions[chunk.cx // 32, chunk.cz // 32].append(chunk)
    return list(regions.values())


def _sections(
    library: Mapping[Chunk, LibraryChunk],
    chunks: Iterable[Chunk],
    heights: Callable[[LibraryChunk], Iterable[int]],
) -> list[tuple[Chunk, int]]:
    return [
        (chunk, height)
        for chunk in chunks
        for height in heights(library[chunk])
        if 16 * height in HEIGHTS
    ]


def _cell(chunk: Chunk, height: int, number: int) -> Block:
    y, across = divmod(number, 256)
    z, x = divmod(across, 16)
    return Block(16 * chunk.cx + x, 16 * height + y, 16 * chunk.cz + z)
