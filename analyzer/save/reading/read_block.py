"""Reading the one block that stands at a position."""

from __future__ import annotations

import numpy as np

from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.chunk.chunk import ChunkContent, read_chunk
from analyzer.save.chunk.outline import Outline
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.sections import AIR
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.chunk.template import Template
from analyzer.save.files.save_files import RegionFile, SaveFiles, TemplateFile
from analyzer.save.nbt.inflate import Stream
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.reading.block_there import BlockThere
from analyzer.save.reading.open_template import look_at_template
from analyzer.save.reading.region_slots import walk_slots
from analyzer.save.reading.steady_slots import UNSTABLE


def read_block(
    files: SaveFiles,
    dimension: str,
    at: Block,
    limits: Limits = Limits(),  # noqa: B008 - a frozen value
) -> BlockThere:
    """Read what stands at a position; of the region there no other chunk is inflated.

    Parameters
    ----------
    files
        The save.
    dimension, at
        Where to look; a dimension that the save does not have is absent everywhere.
    limits
        Bounds of reading one chunk or template.
    """
    for template in files.templates:
        if template.dimension == dimension:
            return _in_template(template, at, limits)
    place = (dimension, at.x >> 9, at.z >> 9)
    for region in files.regions:
        if (region.dimension, region.rx, region.rz) == place:
            return _in_region(region, at, limits)
    return BlockThere(SlotStatus.ABSENT)


def _in_region(region: RegionFile, at: Block, limits: Limits) -> BlockThere:
    wanted = Chunk(at.x >> 4, at.z >> 4)
    palettes = PaletteReader(limits)
    found = [BlockThere(SlotStatus.ABSENT)]

    def read_slot(stream: Stream, chunk: Chunk) -> ChunkContent:
        if chunk != wanted:
            return ChunkContent(SlotStatus.ABSENT, Outline(), [], b"", limits)
        content = read_chunk(stream, chunk, limits)
        if content.status != SlotStatus.READ:
            found.append(BlockThere(content.status))
            return content
        state = content.sections(palettes).state_at(at)
        names = [decode_text(e.id) for e in content.entries if e.block == at and e.id is not None]
        found.append(BlockThere(SlotStatus.READ, state, names[-1] if names else None))
        return content

    for fault in walk_slots(region, limits, read_slot).faults:
        # A header that is too short is no reason for what its slots do not say.
        if fault.chunk == wanted or (fault.chunk is None and fault.reason != "short-header"):
            unstable = fault.reason == UNSTABLE
            status = SlotStatus.UNSTABLE if unstable else SlotStatus.UNREADABLE
            return BlockThere(status, fault=fault)
    return found[-1]


def _in_template(file: TemplateFile, at: Block, limits: Limits) -> BlockThere:
    found = [BlockThere(SlotStatus.READ, AIR)]

    def take(template: Template) -> None:
        here = (template.xyz == np.array(at)).all(axis=1) & template.stands
        for row in np.flatnonzero(here).tolist():
            state = template.palette[int(template.state[row])]
            entity = next((e.id for r, e in template.iter_entities() if r == row), None)
            name = None if entity is None else decode_text(entity)
            found.append(BlockThere(SlotStatus.READ, state, name))

    look = look_at_template(file, limits, take)
    if look.fault is not None:
        return BlockThere(SlotStatus.UNREADABLE, fault=look.fault)
    return found[-1]
