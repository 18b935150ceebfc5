"""What a save to be written holds: blocks, their block entities, and chunks left in some state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from analyzer.base.block import BlockState, parse_block_state
from analyzer.base.place import Block, Chunk


@dataclass(frozen=True)
class Placement:
    """One block to write, with its block entity if it has one.

    Parameters
    ----------
    at
        Position of the block.
    state
        Its block state.
    entity
        Data of its block entity as Python values or NBT tags (see `analyzer.demo.nbt.to_tag`), or
        None. ``id`` should be among them; ``x``, ``y`` and ``z`` are filled in where missing.
    """

    at: Block
    state: BlockState
    entity: Mapping[str, Any] | None = None


def place(
    at: tuple[int, int, int], state: str, entity: Mapping[str, Any] | None = None
) -> Placement:
    """Make a placement from plain values.

    Raises
    ------
    ValueError
        Where the state is not of the form ``name[property=value,...]``.

    >>> place((1, 64, -3), "minecraft:chest", {"id": "minecraft:chest"}).at
    Block(x=1, y=64, z=-3)
    """
    return Placement(Block(*at), parse_block_state(state), entity)


@dataclass(frozen=True)
class Content:
    """What one dimension holds.

    Where two placements have one position the last one's block stands there, and the block
    entities of both are listed in their order: this is how a duplicate entry is written.

    Parameters
    ----------
    placements
        The blocks; everything else is air.
    empty
        Chunks to write finished and without blocks, besides those that the ring asks for.
    unfinished
        Chunks to write as the world's generator left them half-way, blocks included.
    broken
        Bytes to put into a chunk's sectors as they are, instead of a chunk.
    absent
        Chunks not to write, whatever the ring asks for; their blocks are left out.
    """

    placements: tuple[Placement, ...] = ()
    empty: frozenset[Chunk] = frozenset()
    unfinished: frozenset[Chunk] = frozenset()
    broken: Mapping[Chunk, bytes] = field(default_factory=lambda: MappingProxyType({}))
    absent: frozenset[Chunk] = frozenset()
