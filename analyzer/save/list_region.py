"""The inventory of one region: every block entity, as one record."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.base.tables import Interner
from analyzer.save.chunk import ChunkContent, read_chunk
from analyzer.save.entries import lies_in
from analyzer.save.fields import FieldTally
from analyzer.save.inflate import Stream
from analyzer.save.modified_utf8 import decode_text
from analyzer.save.palette import PaletteReader
from analyzer.save.region_slots import RegionSlots, walk_slots
from analyzer.save.save_files import RegionFile
from analyzer.save.scan import SlotStatus
from analyzer.save.walker import Cursor


@dataclass(frozen=True, eq=False)
class RegionListing:
    """The block entities of one region.

    Parameters
    ----------
    slots
        What was looked at.
    rows
        Position, number in `ids`, and number in `states` (-1: not known) of each block entity of
        the finished chunks.
    ids, states
        What the rows' numbers mean.
    fields
        The numbers that they store.
    older
        Count by id in chunks from before 1.13.
    """

    slots: RegionSlots
    rows: tuple[tuple[Block, int, int], ...]
    ids: tuple[str, ...]
    states: tuple[BlockState, ...]
    fields: FieldTally
    older: Counter[str]


def list_region(region: RegionFile, limits: Limits) -> RegionListing:
    """List one region file, reading every chunk whole.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    listing = _Listing(limits)
    slots = walk_slots(region, limits, listing.read_slot)
    return RegionListing(
        slots=slots,
        rows=tuple(listing.rows),
        ids=listing.ids.items,
        states=listing.states.items,
        fields=listing.fields,
        older=listing.older,
    )


@dataclass
class _Listing:
    limits: Limits
    palettes: PaletteReader = field(default_factory=PaletteReader)
    rows: list[tuple[Block, int, int]] = field(default_factory=list)
    ids: Interner[str] = field(default_factory=Interner)
    states: Interner[BlockState] = field(default_factory=Interner)
    fields: FieldTally = field(default_factory=FieldTally)
    older: Counter[str] = field(default_factory=Counter)

    def read_slot(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        content = read_chunk(stream, chunk, self.limits)
        if content.status == SlotStatus.OLD:
            self.older.update(decode_text(e.id) for e in content.entries if e.id is not None)
        elif content.status == SlotStatus.READ and content.entries:
            self._take(content, chunk)
        return content

    def _take(self, content: ChunkContent, chunk: Chunk) -> None:
        sections = content.sections(self.palettes)
        found = []
        for entry in content.entries:
            block = entry.block
            if entry.id is not None and block is not None:
                state = sections.state_at(block) if lies_in(block, chunk) else None
                found.append((decode_text(entry.id), block, state, entry.at))
        # Nothing is kept before this line: until here the chunk may turn out to be unreadable.
        for name, block, state, at in found:
            number = -1 if state is None else self.states(state)
            self.rows.append((block, self.ids(name), number))
            self.fields.add_entity(name, Cursor(content.data, self.limits, at))
