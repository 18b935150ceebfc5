"""Sifting most of a region's chunks at the cost of inflating them, or their beginnings."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from typing import Final

from analyzer.save.chunk import ChunkContent
from analyzer.save.first_piece import FirstPiece
from analyzer.save.inflate import first_step, inflate_at_once
from analyzer.save.lead import Lead, learn_lead
from analyzer.save.region import RegionReader

# A region where chunks begin in more ways than these has programs or layouts of every sort.
_MOST_LEADS: Final = 8

#: Tells a slot and its location from how its chunk begins, or nothing.
LookAt = Callable[[int, int], Lead | None]


class QuickSift:
    """Tells chunks without a block entity by how others began that were walked.

    It says what `sift_chunk` would, of the same bytes, or nothing: then the chunk has to be walked.

    Parameters
    ----------
    first
        How much of a chunk to inflate.
    marks
        Byte strings of which a chunk that is inflated whole must hold none.
    """

    def __init__(self, first: FirstPiece, marks: tuple[bytes, ...]) -> None:
        self._first = first
        self._marks = marks
        self._leads: list[Lead] = []

    @property
    def ready(self) -> bool:
        """Whether enough chunks were walked."""
        return self._first.settled and bool(self._leads)

    def learn(self, content: ChunkContent) -> None:
        """Remember how a chunk begins that was sifted."""
        if len(self._leads) < _MOST_LEADS:
            lead = learn_lead(content)
            if lead is not None and all(lead.pattern != known.pattern for known in self._leads):
                self._leads.append(lead)

    def looker(self, reader: RegionReader) -> LookAt:
        """Return a function from a slot and its location to how its chunk begins, if known.

        Only once it is `ready`; what is learned later counts too.
        """
        return self._whole_looker(reader) if self._first.whole else self._lead_looker(reader)

    def _lead_looker(self, reader: RegionReader) -> LookAt:
        size, told = self._first.size, self._told(reader)
        beginning, inflater = reader.zlib_beginnings(first_step(size)), zlib.decompressobj

        # The innermost loop of a scan: a microsecond here is a tenth of its time.
        def look(slot: int, location: int) -> Lead | None:
            piece = beginning(location)
            if piece is None:
                return None
            try:
                data = inflater().decompress(piece, size)
            except zlib.error:
                return None
            # A shorter one has either ended or needs more bytes than these.
            return told(slot, data) if len(data) >= size else None

        return look

    def _whole_looker(self, reader: RegionReader) -> LookAt:
        marks, told = self._marks, self._told(reader)
        stored, limit = reader.zlib_beginnings(self._first.size), self._first.size - 1
        most = 0

        def look(slot: int, location: int) -> Lead | None:
            nonlocal most
            payload = stored(location)
            if payload is None:
                return None
            # Chunks of one region are of one size, more or less; too little room costs a second go.
            data = inflate_at_once(payload, limit, room=most)
            if data is None:
                return None
            if len(data) > most:
                most = len(data) + len(data) // 8
            for mark in marks:
                # Searched from behind, since that takes a quarter of the time.
                if data.rfind(mark) >= 0:
                    return None
            return told(slot, data)

        return look

    def _told(self, reader: RegionReader) -> Callable[[int, bytes | bytearray], Lead | None]:
        leads = self._leads

        def told(slot: int, data: bytes | bytearray) -> Lead | None:
            for number, lead in enumerate(leads):
                found = lead.match(data)
                if found is not None:
                    if number:
                        leads.insert(0, leads.pop(number))
                    if lead.place_tags and not lead.tells(found, reader.chunk(slot)):
                        return None
                    return lead
            return None

        return told
