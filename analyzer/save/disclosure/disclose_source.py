"""What one region or template discloses: every chunk is read whole."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from analyzer.base.block import HOST_NAMESPACE
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.chunk.chunk import ChunkContent, read_chunk
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.chunk.template import Template
from analyzer.save.disclosure.disclosed import Disclosed, DisclosedSoFar
from analyzer.save.disclosure.stored_texts import iter_addresses
from analyzer.save.files.save_files import RegionFile, Source, TemplateFile
from analyzer.save.nbt.inflate import Stream
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import Cursor
from analyzer.save.reading.open_template import look_at_template
from analyzer.save.reading.region_slots import undisturbed, walk_slots


def disclose_source(source: Source, limits: Limits) -> Disclosed:
    """Look through one region file or template.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    if isinstance(source, TemplateFile):
        return _disclose_template(source, limits)
    return _disclose_region(source, limits)


def _disclose_region(region: RegionFile, limits: Limits) -> Disclosed:
    def read(steady: bool) -> Disclosed:
        so_far = DisclosedSoFar(region.dimension, region.file)
        read_slot = _RegionDisclosing(so_far, limits).read_slot
        return so_far.disclosed(walk_slots(region, limits, read_slot, steady=steady))

    return undisturbed(read)


class _RegionDisclosing:
    def __init__(self, so_far: DisclosedSoFar, limits: Limits) -> None:
        self._so_far = so_far
        self._limits = limits
        self._palettes = PaletteReader(limits)

    def read_slot(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        content = read_chunk(stream, chunk, self._limits)
        blocks = self._blocks(content)
        # Nothing is kept before this line: until here the chunk may turn out to be unreadable.
        for name, count in blocks.items():
            self._so_far.add_blocks(name, count)
        for entry in content.entries:
            if entry.id is not None:
                self._so_far.add_entity(decode_text(entry.id))
            cursor = Cursor(content.data, self._limits, entry.at)
            self._so_far.add_addresses(entry.block, iter_addresses(_compound(cursor), cursor))
        return content

    def _blocks(self, content: ChunkContent) -> Counter[str]:
        blocks: Counter[str] = Counter()
        if content.status == SlotStatus.OLD:
            return blocks
        sections = content.sections(self._palettes)
        for height, palette in sections.iter_palettes(None):
            if any(state.namespace != HOST_NAMESPACE for state in palette):
                for state, count in sections.count_states(height):
                    blocks[state.name] += count
        return blocks


def _disclose_template(file: TemplateFile, limits: Limits) -> Disclosed:
    so_far = DisclosedSoFar(file.dimension, file.file)

    def take(template: Template) -> None:
        entities = list(template.iter_entities())
        counts = np.bincount(template.state[template.stands], minlength=len(template.palette))
        for state, count in zip(template.palette, counts.tolist(), strict=True):
            so_far.add_blocks(state.name, count)
        for row, entry in entities:
            if entry.id is not None:
                so_far.add_entity(decode_text(entry.id))
            cursor = Cursor(template.data, template.limits, entry.at)
            block = Block(*template.xyz[row].tolist())
            so_far.add_addresses(block, iter_addresses(_compound(cursor), cursor))

    return so_far.disclosed(look_at_template(file, limits, take))


def _compound(cursor: Cursor) -> Iterator[tuple[bytes | None, int]]:
    yield from cursor.compound()
