"""The scan of one region: candidates and leftovers, as one record."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.chunk import ChunkContent, read_chunk, sift_chunk
from analyzer.save.entries import Entry, lies_in
from analyzer.save.first_piece import FirstPiece
from analyzer.save.gather import Gathering, Tally
from analyzer.save.inflate import Stream
from analyzer.save.record import ScanRecord
from analyzer.save.region_slots import walk_slots
from analyzer.save.save_files import RegionFile
from analyzer.save.scan import SlotStatus, Wanted


def scan_region(region: RegionFile, wanted: Wanted, limits: Limits) -> ScanRecord:
    """Scan one region file; whatever is wrong with it ends up in the record.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    gathering = Gathering(wanted, limits)
    slots = walk_slots(region, limits, _RegionScan(gathering).read_slot)
    return gathering.record(slots)


class _RegionScan:
    def __init__(self, gathering: Gathering) -> None:
        self._gathering = gathering
        self._wanted = gathering.wanted
        self._whole = self._wanted.every_byte or bool(self._wanted.blocks)
        self._first = FirstPiece(gathering.limits.inflated_bytes + 1)

    def read_slot(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        gathering = self._gathering
        if not self._whole:
            sifted = sift_chunk(
                stream,
                chunk,
                gathering.ids.keys(),
                gathering.limits,
                first_bytes=self._first.size,
            )
            self._first.note(stream)
            if sifted is not None:
                gathering.tally.add(self._sort(sifted, chunk)[0])
                return sifted
        content = read_chunk(stream, chunk, gathering.limits)
        if content.status != SlotStatus.OLD:
            self._take(content, chunk)
        return content

    def _take(self, content: ChunkContent, chunk: Chunk) -> None:
        gathering, asked = self._gathering, self._gathering.asked
        tally, kept = self._sort(content, chunk)
        found: dict[Block, BlockState] = {}
        bare: list[tuple[BlockState, npt.NDArray[Any]]] = []
        strangers: list[set[str]] = []
        if content.status == SlotStatus.READ and (kept or asked.concern(content.data)):
            sections = content.sections(gathering.palettes)
            for height, palette in sections.iter_palettes(asked.mentions):
                strangers.append(asked.strangers_in(palette))
                for state, xyz in sections.iter_cells(height, asked.names, chunk):
                    if state.name in self._wanted.blocks:
                        found.update((Block(*at), state) for at in xyz.tolist())
                    if state.name in self._wanted.entity_blocks:
                        bare.append((state, _without_entity(xyz, content.entries)))
            found |= {block: sections.state_at(block) for block in kept}
        # Nothing above this line may change the record: until here the chunk may turn out to be
        # unreadable.
        for block, state in found.items():
            gathering.keep(block, state, content.layout_version, content.data, kept.get(block))
        for state, xyz in bare:
            gathering.keep_bare(state, xyz)
        for names in strangers:
            gathering.keep_strangers(names)
        gathering.tally.add(tally)

    def _sort(self, content: ChunkContent, chunk: Chunk) -> tuple[Tally, dict[Block, Entry]]:
        """Tell the entries to keep, by position, from those left over."""
        tally = Tally()
        unfinished = content.status == SlotStatus.UNFINISHED
        kept: dict[Block, Entry] = {}
        for entry in content.entries:
            if entry.id is None:
                tally.malformed += 1
                continue
            block = entry.block
            # The last entry at a place counts, whatever its id.
            if block is not None and kept.pop(block, None) is not None:
                tally.duplicate += 1
            if entry.id not in self._gathering.ids:
                tally.unknown[entry.id] += 1
            elif unfinished:
                tally.unfinished += 1
            elif block is None:
                tally.malformed += 1
            elif not lies_in(block, chunk):
                tally.misplaced += 1
            else:
                kept[block] = entry
        return tally, kept


def _without_entity(xyz: npt.NDArray[Any], entries: Iterable[Entry]) -> npt.NDArray[Any]:
    """Return the places, all in one chunk, at which no block entity with an id stands."""
    held = [entry.block for entry in entries if entry.id is not None and entry.block is not None]
    if not held or not len(xyz):
        return xyz
    places = np.array(held, np.int64)
    inside = (places[:, ::2] >> 4 == xyz[:1, ::2] >> 4).all(axis=1)
    return xyz[~np.isin(_cell_keys(xyz), _cell_keys(places[inside]))]


def _cell_keys(xyz: npt.NDArray[Any]) -> npt.NDArray[Any]:
    return xyz[:, 1] << 8 | (xyz[:, 2] & 15) << 4 | xyz[:, 0] & 15
