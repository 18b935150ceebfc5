"""The scan of one region: candidates and leftovers, as one record."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.base.tables import Interner
from analyzer.save.chunk import ChunkContent, read_chunk, sift_chunk
from analyzer.save.entries import Entry, lies_in
from analyzer.save.inflate import Stream
from analyzer.save.modified_utf8 import decode_text, encode_text
from analyzer.save.palette import PaletteReader
from analyzer.save.record import RegionRecord
from analyzer.save.region_slots import walk_slots
from analyzer.save.save_files import RegionFile
from analyzer.save.scan import Leftovers, SlotStatus, Wanted
from analyzer.save.stored import Stored, read_stored
from analyzer.save.wanted import WantedTables


def scan_region(region: RegionFile, wanted: Wanted, limits: Limits) -> RegionRecord:
    """Scan one region file; whatever is wrong with it ends up in the record.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    scan = _RegionScan(wanted, limits)
    slots = walk_slots(region, limits, scan.read_slot)
    values = [stored for _, _, stored in scan.readings]
    return RegionRecord(
        slots=slots,
        cells=np.array(scan.cells, np.int32).reshape(-1, 6),
        readings=np.array(
            [(row, path, stored.tag) for row, path, stored in scan.readings], np.int32
        ).reshape(-1, 3),
        integers=np.array([stored.integer for stored in values], np.int64),
        reals=np.array([stored.real for stored in values], np.float64),
        states=scan.states.items,
        leftovers=scan.tally.leftovers(),
    )


@dataclass
class _Tally:
    unknown: Counter[bytes] = field(default_factory=Counter)
    duplicate: int = 0
    misplaced: int = 0
    malformed: int = 0
    unfinished: int = 0

    def add(self, other: _Tally) -> None:
        self.unknown.update(other.unknown)
        self.duplicate += other.duplicate
        self.misplaced += other.misplaced
        self.malformed += other.malformed
        self.unfinished += other.unfinished

    def leftovers(self) -> Leftovers:
        unknown: Counter[str] = Counter()
        for raw, count in self.unknown.items():
            unknown[decode_text(raw)] += count
        return Leftovers(
            tuple(sorted(unknown.items())),
            self.duplicate,
            self.misplaced,
            self.malformed,
            self.unfinished,
        )


class _RegionScan:
    def __init__(self, wanted: Wanted, limits: Limits) -> None:
        self._tables = WantedTables(wanted)
        self._ids = {encode_text(name): n for n, name in enumerate(self._tables.entities)}
        self._blocks = wanted.blocks
        self._whole = wanted.every_byte or bool(wanted.blocks)
        self._limits = limits
        self._palettes = PaletteReader()
        self.cells: list[tuple[int, int, int, int, int, int]] = []
        self.readings: list[tuple[int, int, Stored]] = []
        self.states: Interner[BlockState] = Interner()
        self.tally = _Tally()

    def read_slot(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        if not self._whole:
            sifted = sift_chunk(stream, chunk, self._ids.keys(), self._limits)
            if sifted is not None:
                self.tally.add(self._sort(sifted, chunk)[0])
                return sifted
        content = read_chunk(stream, chunk, self._limits)
        if content.status != SlotStatus.OLD:
            self._take(content, chunk)
        return content

    def _take(self, content: ChunkContent, chunk: Chunk) -> None:
        tally, kept = self._sort(content, chunk)
        if content.status == SlotStatus.READ and (kept or self._blocks):
            sections = content.sections(self._palettes)
            found = dict(sections.iter_named(self._blocks, chunk)) if self._blocks else {}
            found |= {block: sections.state_at(block) for block in kept}
            # Nothing above this line may change the record: until here the chunk may turn
            # out to be unreadable.
            for block, state in found.items():
                self._keep(content, block, self.states(state), kept.get(block))
        self.tally.add(tally)

    def _sort(self, content: ChunkContent, chunk: Chunk) -> tuple[_Tally, dict[Block, Entry]]:
        """Tell the entries to keep, by position, from those left over."""
        tally = _Tally()
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
            if entry.id not in self._ids:
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

    def _keep(self, content: ChunkContent, block: Block, state: int, entry: Entry | None) -> None:
        row = len(self.cells)
        version = content.layout_version
        if entry is None or entry.id is None:
            self.cells.append((*block, state, -1, version))
            return
        entity = self._ids[entry.id]
        self.cells.append((*block, state, entity, version))
        for path, steps in self._tables.paths_of(entity):
            stored = read_stored(content.data, entry.at, steps, self._limits)
            if stored is not None:
                self.readings.append((row, path, stored))
