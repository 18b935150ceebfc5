"""Blocks as anvil-parser2 reads them, a general-purpose library for region files.

It is not asked about a section of 1.18 or later that stores no indices: it takes all of it for air,
whatever the palette's one entry is (its ``Chunk.get_block`` returns air where ``data`` is missing).
There nbtlib is asked for the entry. Nor is it asked for heights beyond -64 to 319, which it
refuses, for compressions other than zlib and files of single chunks, which it does not read, or for
chunks before 1.13, whose blocks the tool does not read.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import nbtlib

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from tests.outside.judged_regions import Held

with warnings.catch_warnings():
    # What it and its own libraries have to say about themselves is not for us to mend.
    warnings.simplefilter("ignore")
    import anvil

HEIGHTS = range(-64, 320)
AIR = BlockState("minecraft:air")


class LibraryChunk:
    """A chunk that the library read from its region file."""

    def __init__(self, held: Held) -> None:
        self._held = held
        self._chunk = _region(held.path).get_chunk(*held.chunk)

    def mixed(self) -> list[int]:
        """Return the heights of the sections of several blocks."""
        return sorted(
            section["Y"].value for section in self._sections() if len(_palette(section)) > 1
        )

    def solid(self) -> list[int]:
        """Return the heights of the sections of one block that is not air, without indices."""
        return sorted(height for height, state in self._lone_entries.items() if state != AIR)

    def state_at(self, at: Block) -> BlockState:
        """Return the state of a block of this chunk, where a library knows it."""
        lone = self._lone_entries.get(at.y // 16)
        if lone is not None:
            return lone
        return _state(self._chunk.get_block(at.x % 16, at.y, at.z % 16))

    def states_in(self, height: int) -> Iterator[BlockState]:
        """Iterate over a section's cells by their number."""
        return map(_state, self._chunk.stream_blocks(section=height))

    def entities(self) -> dict[Block, str]:
        """Return the ids of its block entities by their place."""
        return {
            Block(*(entity[axis].value for axis in "xyz")): entity["id"].value
            for entity in self._chunk.tile_entities
        }

    def _sections(self) -> Any:
        data = self._chunk.data
        return data["sections"] if "sections" in data else data["Sections"]

    @cached_property
    def _lone_entries(self) -> dict[int, BlockState]:
        root = nbtlib.File.parse(io.BytesIO(self._held.data))
        found = {}
        for section in root.get("sections", ()):
            states = section.get("block_states", {})
            if "palette" in states and "data" not in states:
                (entry,) = states["palette"]
                properties = {str(k): str(v) for k, v in entry.get("Properties", {}).items()}
                state = BlockState(str(entry["Name"]), tuple(sorted(properties.items())))
                found[int(section["Y"])] = state
        return found


@cache
def _region(path: Path) -> Any:
    return anvil.Region.from_file(str(path))


def _palette(section: Any) -> Any:
    states = section.get("block_states", section)
    return next((states[name] for name in ("palette", "Palette") if name in states), ())


def _state(block: Any) -> BlockState:
    properties = {name: str(value) for name, value in block.properties.items()}
    return BlockState(block.name(), tuple(sorted(properties.items())))
