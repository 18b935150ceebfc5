"""The inventory of one region: every block entity, as one record."""

from __future__ import annotations

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import ChunkContent, read_chunk
from analyzer.save.chunk.entries import lies_in
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.save_files import RegionFile
from analyzer.save.inventory.listing import Listing, ListingSoFar
from analyzer.save.nbt.inflate import Stream
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import Cursor
from analyzer.save.reading.region_slots import undisturbed, walk_slots


def list_region(region: RegionFile, limits: Limits) -> Listing:
    """List one region file, reading every chunk whole.

    All arguments and the result can be pickled, so that any executor can run it.
    """

    def read(steady: bool) -> Listing:
        so_far = ListingSoFar()
        listing = _RegionListing(so_far, limits)
        return so_far.listing(walk_slots(region, limits, listing.read_slot, steady=steady))

    return undisturbed(read)


class _RegionListing:
    def __init__(self, so_far: ListingSoFar, limits: Limits) -> None:
        self._so_far = so_far
        self._limits = limits
        self._palettes = PaletteReader(limits)

    def read_slot(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        content = read_chunk(stream, chunk, self._limits)
        if content.status == SlotStatus.OLD:
            names = [decode_text(e.id) for e in content.entries if e.id is not None]
            self._so_far.check_room(0, set(names), self._limits.parts)
            self._so_far.older.update(names)
        elif content.status == SlotStatus.READ and content.entries:
            self._take(content, chunk)
        return content

    def _take(self, content: ChunkContent, chunk: Chunk) -> None:
        sections = content.sections(self._palettes)
        found = []
        for entry in content.entries:
            block = entry.block
            if entry.id is not None and block is not None:
                state = sections.state_at(block) if lies_in(block, chunk) else None
                found.append((block, decode_text(entry.id), state, entry.at))
        names: set[str | BlockState] = {name for _, name, _, _ in found}
        names.update(state for _, _, state, _ in found if state is not None)
        self._so_far.check_room(len(found), names, self._limits.parts)
        # Nothing is kept before this line: until here the chunk may turn out to be unreadable.
        for block, name, state, at in found:
            self._so_far.add(block, name, state, Cursor(content.data, self._limits, at))
