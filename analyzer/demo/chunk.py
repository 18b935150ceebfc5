"""One chunk as NBT, in the layout of any data version since 1.13."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import nbtlib
import numpy as np

from analyzer.base.block import BlockState
from analyzer.base.place import Chunk
from analyzer.demo.content import Placement
from analyzer.demo.manner import Manner
from analyzer.demo.nbt import nbt_bytes, to_tag
from analyzer.demo.pack import CELLS, index_bits, pack_indices

_AIR = BlockState("minecraft:air")


def chunk_nbt(
    chunk: Chunk, placements: Sequence[Placement], manner: Manner, *, finished: bool = True
) -> bytes:
    """Write a chunk as uncompressed NBT.

    Parameters
    ----------
    chunk
        Which chunk it is.
    placements
        Its blocks; an empty sequence gives a chunk of air.
    manner
        Decides the layout.
    finished
        Whether the world's generator has finished the chunk.

    Raises
    ------
    ValueError
        For a block above or below what the layout can hold.
    """
    entities = nbtlib.List[nbtlib.Compound](
        [
            _entity(placement, placement.entity, marked=finished and manner.marks_packed_entities)
            for placement in placements
            if placement.entity is not None
        ]
    )
    sections = nbtlib.List[nbtlib.Compound](_sections(placements, manner))
    status = manner.status(finished=finished)
    if manner.has_root_layout:
        return nbt_bytes(
            {
                "DataVersion": manner.data_version,
                "block_entities": entities,
                "xPos": chunk.cx,
                "yPos": manner.sections.start,
                "zPos": chunk.cz,
                "Status": status,
                "LastUpdate": nbtlib.Long(0),
                "InhabitedTime": nbtlib.Long(0),
                "sections": sections,
            }
        )
    level = {
        "TileEntities": entities,
        "xPos": chunk.cx,
        "zPos": chunk.cz,
        "Status": status,
        "LastUpdate": nbtlib.Long(0),
        "InhabitedTime": nbtlib.Long(0),
        "Sections": sections,
    }
    return nbt_bytes({"Level": level, "DataVersion": manner.data_version})


def _entity(placement: Placement, data: Mapping[str, Any], *, marked: bool) -> Any:
    tag = to_tag(data)
    for name, coordinate in zip("xyz", placement.at, strict=True):
        tag.setdefault(name, nbtlib.Int(coordinate))
    if marked:
        tag.setdefault("keepPacked", nbtlib.Byte(0))
    return tag


def _sections(placements: Sequence[Placement], manner: Manner) -> list[Any]:
    by_height: dict[int, dict[int, BlockState]] = defaultdict(dict)
    for placement in placements:
        x, y, z = placement.at
        by_height[y >> 4][(y & 15) << 8 | (z & 15) << 4 | x & 15] = placement.state
    for height in sorted(by_height):
        if height not in manner.sections:
            raise ValueError(
                f"section {height} is outside {manner.sections} of data version "
                f"{manner.data_version}"
            )
    return [_section(height, by_height[height], manner) for height in sorted(by_height)]


def _section(height: int, blocks: Mapping[int, BlockState], manner: Manner) -> Any:
    states = sorted(set(blocks.values()) - {_AIR})
    if len(blocks) < CELLS or _AIR in blocks.values():
        states.insert(0, _AIR)
    number = {state: index for index, state in enumerate(states)}
    indices = np.zeros(CELLS, np.uint16)
    indices[list(blocks)] = [number[state] for state in blocks.values()]
    palette = nbtlib.List[nbtlib.Compound]([_palette_entry(state) for state in states])
    packed = nbtlib.LongArray(
        pack_indices(indices, bits=index_bits(len(states)), spans_longs=manner.spans_longs)
    )
    section = nbtlib.Compound({"Y": nbtlib.Byte(height)})
    if not manner.has_block_states:
        section.update({"Palette": palette, "BlockStates": packed})
    elif len(states) == 1:
        section["block_states"] = nbtlib.Compound({"palette": palette})
    else:
        section["block_states"] = nbtlib.Compound({"palette": palette, "data": packed})
    return section


@lru_cache(maxsize=4096)
def _palette_entry(state: BlockState) -> Any:
    entry: dict[str, Any] = {"Name": state.name}
    if state.properties:
        entry["Properties"] = dict(state.properties)
    return to_tag(entry)
