"""The scan of one region: candidates and leftovers, as one record."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import TYPE_CHECKING, Any

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk, slot_of
from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.chunk.entries import Entry, cell_number, lies_in
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.chunk.tally import Tally
from analyzer.save.files.region import Payload
from analyzer.save.files.save_files import RegionFile
from analyzer.save.nbt.inflate import ZLIB, Stream, inflate_at_once
from analyzer.save.reading.pieces import ChunkPiece, digest_of
from analyzer.save.reading.region_slots import undisturbed, walk_slots
from analyzer.save.scan.gather import Gathering
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.wanted import Wanted
from analyzer.save.sift.first_piece import FirstPiece
from analyzer.save.sift.known_leads import KnownLeads
from analyzer.save.sift.quick_sift import QuickSift
from analyzer.save.sift.sift import sift_chunk, sift_late
from analyzer.save.sift.whole_read import WholeRead
from analyzer.save.sift.whole_sift import WholeSift

if TYPE_CHECKING:
    import numpy.typing as npt


def scan_region(
    region: RegionFile,
    wanted: Wanted,
    limits: Limits,
    *,
    quick: bool = True,
    former: ScanRecord | None = None,
    sources: int = 1,
) -> ScanRecord:
    """Scan one region file; whatever is wrong with it ends up in the record.

    All arguments and the result can be pickled, so that any executor can run it.

    Parameters
    ----------
    region, wanted, limits
        As for `scan_save`.
    quick
        Tell chunks by how others began, and by machine code; otherwise each is walked plainly, by
        itself. It makes no difference to the result.
    former
        What an earlier scan of the file gave, for the same `wanted` and `limits`: chunks with
        candidates that have the same payload are not parsed again. It makes no difference to the
        result.
    sources
        How many files like this one are read in all, by all processes: whether it is worth while to
        load machine code. It makes no difference to the result.
    """

    def read(steady: bool) -> ScanRecord:
        gathering = Gathering(wanted, limits)
        scan = _RegionScan(gathering, former, sources if quick else None)
        slots = walk_slots(region, limits, scan.read_slot, scan.quick, scan.recall, steady=steady)
        scan.remember()
        return gathering.record(slots)

    return undisturbed(read)


# Whether the lists came late in the region that this process read before: those of the next will
# do so, too. The first chunks are then inflated at once, and one for which that is right is told;
# any other is read as if this were not known.
_late = False


class _RegionScan:
    def __init__(
        self, gathering: Gathering, former: ScanRecord | None, sources: int | None
    ) -> None:
        self._gathering = gathering
        self._former = former
        self._pieces = {piece.slot: piece for piece in former.pieces} if former else {}
        # Of the chunk that is being read.
        self._payload: Payload | None = None
        self._wanted = gathering.wanted
        marks = gathering.asked.marks
        self._sifts = not self._wanted.every_byte and marks is not None
        self._marks = marks or ()
        self._first = FirstPiece(gathering.limits.inflated_bytes + 1, at_once=bool(marks))
        # Without a number of sources all is read plainly.
        self.quick = None if sources is None or not self._sifts else self._quick_sift(sources)
        self._whole = WholeRead(gathering.limits, sources)

    def _quick_sift(self, sources: int) -> QuickSift:
        gathering, leads = self._gathering, KnownLeads()
        whole = WholeSift(
            leads,
            self._marks,
            ids=gathering.ids.keys(),
            limits=gathering.limits,
            sources=sources,
            tally=gathering.tally,
        )
        return QuickSift(self._first, leads, whole)

    def remember(self) -> None:
        """Remember how this region's chunks list their block entities."""
        global _late  # noqa: PLW0603 - see there
        if not self._marks and self._first.settled:
            _late = self._first.whole

    def recall(self, slot: int, payload: Payload) -> ChunkPiece | None:
        self._payload = payload
        piece = self._pieces.get(slot)
        if self._former is None or piece is None or piece.digest != digest_of(payload):
            return None
        if not self._gathering.may_restore(self._former, piece):
            return None
        self._gathering.restore(self._former, piece)
        return piece

    def read_slot(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        gathering = self._gathering
        if self._sifts:
            sifted = self._sift(stream, chunk)
            if sifted is not None:
                tally, _ = self._sort(sifted, chunk)
                gathering.check_names((), tally)
                if self.quick is not None:
                    self.quick.learn(sifted)
                gathering.tally.add(tally)
                return sifted
        content = self._whole.read(stream, chunk)
        if content.status != SlotStatus.OLD:
            self._take(content, chunk)
        return content

    def _sift(self, stream: Stream, chunk: Chunk) -> ChunkContent | None:
        first, limits, ids = self._first, self._gathering.limits, self._gathering.ids.keys()
        chart, size = self._whole.chart, first.size
        if _late and chart is not None and not first.settled:
            data = self._inflated_at_once()
            if data is not None:
                late = sift_late(data, chunk, ids, limits, first_bytes=size, chart=chart)
                if late is not None:
                    first.note(len(data), ended=True)
                    return late
        sifted = sift_chunk(
            stream, chunk, ids, limits, first_bytes=size, marks=self._marks, chart=chart
        )
        first.note(len(stream.data), ended=stream.ended)
        return sifted

    def _inflated_at_once(self) -> bytes | None:
        payload = self._payload
        if payload is None or payload.compression != ZLIB:
            return None
        data = inflate_at_once(payload.data, self._gathering.limits.inflated_bytes)
        return None if data is None else bytes(data)

    def _take(self, content: ChunkContent, chunk: Chunk) -> None:
        gathering, wanted = self._gathering, self._wanted
        asked = gathering.asked
        tally, kept = self._sort(content, chunk)
        found: dict[Block, BlockState] = {}
        bare: list[tuple[BlockState, npt.NDArray[Any]]] = []
        strangers: list[set[str]] = []
        if content.status == SlotStatus.READ and (
            wanted.every_byte or kept or asked.concern(content.data)
        ):
            sections = content.sections(gathering.palettes)
            if wanted.every_byte:
                sections.check()
            bare_room = gathering.bare_room
            held = _cells_with_entity(content.entries, chunk)
            for height, palette in sections.iter_palettes(asked.mentions):
                strangers.append(asked.strangers_in(palette))
                for state, xyz in sections.iter_cells(height, wanted.blocks, chunk):
                    gathering.check_room(len(found) + len(xyz))
                    found.update((Block(*at), state) for at in xyz.tolist())
                if bare_room > 0:
                    lacking = sections.iter_cells(
                        height, wanted.entity_blocks, chunk, but=held.get(height, ())
                    )
                    for state, xyz in lacking:
                        bare.append((state, xyz))
                        bare_room -= len(xyz)
            found |= {block: sections.state_at(block) for block in kept}
        gathering.check_room(len(found))
        gathering.check_names(chain(found.values(), (state for state, _ in bare)), tally)
        # Nothing above this line may change the record: until here the chunk may turn out to be
        # unreadable.
        start = gathering.extent
        version, data = content.layout_version, content.data
        for block, state in found.items():
            gathering.keep(block, state, version, data, kept.get(block))
        for state, xyz in bare:
            gathering.keep_bare(state, xyz)
        for names in strangers:
            gathering.keep_strangers(names)
        gathering.tally.add(tally)
        if found and self._payload is not None:
            gathering.note_piece(
                ChunkPiece(
                    slot=slot_of(chunk),
                    digest=digest_of(self._payload),
                    data_version=content.data_version,
                    start=start,
                    stop=gathering.extent,
                    leftovers=tally.leftovers(),
                    strangers=tuple(tuple(sorted(names)) for names in strangers if names),
                )
            )

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


def _cells_with_entity(entries: Iterable[Entry], chunk: Chunk) -> dict[int, list[int]]:
    """Return the cells, by their section's height, at which a block entity with an id stands."""
    cells: dict[int, list[int]] = {}
    for entry in entries:
        block = entry.block
        if entry.id is not None and block is not None and lies_in(block, chunk):
            cells.setdefault(block.y >> 4, []).append(cell_number(block))
    return cells
