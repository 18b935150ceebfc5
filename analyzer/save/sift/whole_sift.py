"""Sifting chunks that are inflated whole: by their marks, by how others began, by machine code."""

from __future__ import annotations

from collections.abc import Set
from typing import Final

from deflate import DeflateError, zlib_decompress

from analyzer.base.limits import Limits
from analyzer.base.place import SLOTS, Chunk
from analyzer.save.chunk.tally import Tally
from analyzer.save.compiled.load import chunks_ahead, kernel_if_worth
from analyzer.save.compiled.quick_walk import QuickWalk
from analyzer.save.files.region import RegionReader
from analyzer.save.nbt.inflate import inflate_at_once
from analyzer.save.sift.known_leads import KnownLeads

# Room for a chunk, in bytes, as long as none was seen.
_FIRST_ROOM: Final = 64 * 1024

# More than chunks take that occur in thousands.
_MOST_ROOM: Final = 1024 * 1024

# Seconds that machine code saves: walking a chunk up to a list that comes last, and searching it.
_WALK_SECONDS: Final = 200e-6
_SEARCH_SECONDS: Final = 3.4e-6


class WholeSift:
    """Tells chunks that hold nothing wanted, where every chunk of a region is inflated whole.

    Parameters
    ----------
    leads
        How others began.
    marks
        Byte strings of which a chunk must hold none. If there are none, lists come late in this
        region, and how chunks begin says nothing.
    ids
        Wanted ids of block entities in modified UTF-8.
    limits
        Bounds of reading one chunk.
    sources
        How many files like this one are read in all.
    tally
        Takes up the block entities of the chunks that are told.
    """

    def __init__(
        self,
        leads: KnownLeads,
        marks: tuple[bytes, ...],
        *,
        ids: Set[bytes],
        limits: Limits,
        sources: int,
        tally: Tally,
    ) -> None:
        self._leads = leads
        self._marks = marks
        self._ids = ids
        self._limits = limits
        self._sources = sources
        self._tally = tally
        self._walk: QuickWalk | None = None
        self._begun = False
        self._room = min(_FIRST_ROOM, limits.inflated_bytes)

    def sift(
        self,
        reader: RegionReader,
        header: tuple[int, ...],
        slot: int,
        status: bytearray,
        versions: set[int],
    ) -> int:
        """Do as `QuickSift.sift`."""
        if not self._begun:
            self._begin(sum(map(bool, header)))
            if self._marks and not self._leads.latest:
                # One chunk that is walked may tell how all begin.
                return slot
        if self._walk is None and not (self._marks and self._leads.latest):
            return slot
        # One loop for nearly every chunk of a save: what is called costs as much as what it does.
        tell = self._by_leads if self._marks else self._by_walk
        first_cx, first_cz = reader.chunk(0)
        for number, payload in reader.iter_zlib(header, slot, self._limits.inflated_bytes + 1):
            if payload is None:
                return number
            try:
                data = zlib_decompress(payload, self._room)
            except DeflateError:
                whole = self._inflate_further(payload)
                if whole is None:
                    return number
                data = whole
            told = tell(data, (first_cx + (number & 31), first_cz + (number >> 5)))
            if told is None:
                return number
            status[number], version = told
            if version is not None:
                versions.add(version)
        return SLOTS

    def _begin(self, chunks: int) -> None:
        self._begun = True
        _keep_freed_memory()
        seconds = chunks_ahead(chunks, self._sources) * (
            _SEARCH_SECONDS if self._marks else _WALK_SECONDS
        )
        kernel = kernel_if_worth(seconds)
        if kernel is not None and QuickWalk.keeps(self._limits):
            self._walk = QuickWalk(kernel, self._marks, self._ids, self._limits, self._tally)

    def _inflate_further(self, payload: bytes) -> bytearray | None:
        """Return a chunk that takes more room than those before; None where it is damaged."""
        limit = self._limits.inflated_bytes
        data = inflate_at_once(payload, limit)
        if data is not None:
            # Chunks of one region are of one size, more or less.
            self._room = max(self._room, min(len(data) + len(data) // 8, limit))
        return data

    def _by_leads(self, data: bytearray, chunk: tuple[int, int]) -> tuple[int, int | None] | None:
        """Return how a slot ends and its chunk's data version; None where it must be walked."""
        walk = self._walk
        if self._holds_mark(data) if walk is None else walk.holds_mark(data):
            return None
        known = self._leads.find(data)
        if known is None:
            return None if walk is None else walk.tell(data, chunk)
        lead, found = known
        if lead.place_tags and not lead.tells(found, Chunk._make(chunk)):
            return None
        return lead.status, lead.data_version

    def _by_walk(self, data: bytearray, chunk: tuple[int, int]) -> tuple[int, int | None] | None:
        """Do as `_by_leads`, where there are no marks."""
        return None if self._walk is None else self._walk.tell(data, chunk)

    def _holds_mark(self, data: bytearray) -> bool:
        # Searched from behind, since that takes a quarter of the time.
        return any(data.rfind(mark) >= 0 for mark in self._marks)


def _keep_freed_memory() -> None:
    """Have the C library keep a chunk's room for the next instead of giving it back each time.

    Memory of more than 128 KiB comes straight from the system, page by page, until as much has been
    freed once (glibc's mallopt(3), "dynamic mmap threshold"); elsewhere it does nothing.
    """
    bytearray(_MOST_ROOM)
