"""Sifting most of a region's chunks at the cost of inflating them, or their beginnings."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from typing import Final

from deflate import DeflateError, zlib_decompress

from analyzer.base.place import SLOTS
from analyzer.save.chunk import ChunkContent
from analyzer.save.first_piece import FirstPiece
from analyzer.save.inflate import first_step, inflate_at_once
from analyzer.save.lead import Lead, learn_lead
from analyzer.save.region import RegionReader

# A region where chunks begin in more ways than these has programs or layouts of every sort.
_MOST_LEADS: Final = 8

# Room for a chunk, in bytes, as long as none was seen.
_FIRST_ROOM: Final = 64 * 1024

# How chunks of the regions before began, the latest first: those of the next will do so too. What
# a lead says holds anywhere, so that it makes no difference to know it sooner.
_recent: list[Lead] = []


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
        self._leads = list(_recent)

    def learn(self, content: ChunkContent) -> None:
        """Remember how a chunk begins that was sifted."""
        global _recent  # noqa: PLW0603 - see there
        lead = learn_lead(content)
        if lead is None or any(lead.pattern == known.pattern for known in self._leads):
            return
        del self._leads[_MOST_LEADS - 1 :]
        self._leads.insert(0, lead)
        _recent = list(self._leads)

    def sift(
        self,
        reader: RegionReader,
        header: tuple[int, ...],
        slot: int,
        status: bytearray,
        versions: set[int],
    ) -> int:
        """Tell one chunk after the other, and return the first slot whose chunk must be walked.

        Parameters
        ----------
        reader, header
            The region, and where its chunks are.
        slot
            Where to begin. The result is 1024 where no chunk from there on must be walked.
        status, versions
            Take up how the slots end, and the data versions of their chunks.
        """
        first = self._first
        # In a region whose lists come late how chunks begin says nothing.
        while self._leads and not (first.whole and not self._marks):
            lead, settled = self._leads[0], first.settled
            for number, data in self._iter_data(reader, header, slot):
                found = None if data is None else lead.match(data)
                if found is None:
                    other = None if data is None else self._other(data)
                    if other is None:
                        return number
                    lead, found = other
                if lead.place_tags and not lead.tells(found, reader.chunk(number)):
                    return number
                status[number] = lead.status
                if lead.data_version is not None:
                    versions.add(lead.data_version)
                if not settled:
                    first.note(first.size, ended=False)
                    if first.settled:
                        # Further chunks may have to be inflated further.
                        slot = number + 1
                        break
            else:
                return SLOTS
        return slot

    def _iter_data(
        self, reader: RegionReader, header: tuple[int, ...], slot: int
    ) -> Iterator[tuple[int, bytes | bytearray | None]]:
        """Iterate over slots from one on and what is needed of their chunks.

        None where that takes more than a look at a sound zlib stream.
        """
        size = self._first.size
        payloads = reader.iter_zlib(header, slot, first_step(size))
        if self._first.whole:
            return self._iter_wholes(payloads, size - 1)
        return _iter_beginnings(payloads, size)

    def _iter_wholes(
        self, payloads: Iterator[tuple[int, bytes | None]], limit: int
    ) -> Iterator[tuple[int, bytearray | None]]:
        marks = self._marks
        room = min(_FIRST_ROOM, limit)
        for slot, payload in payloads:
            data = None
            if payload is not None:
                try:
                    data = zlib_decompress(payload, room)
                except DeflateError:
                    data = inflate_at_once(payload, limit)
                    if data is not None:
                        # Chunks of one region are of one size, more or less.
                        room = max(room, min(len(data) + len(data) // 8, limit))
            if data is not None:
                for mark in marks:
                    # Searched from behind, since that takes a quarter of the time.
                    if data.rfind(mark) >= 0:
                        data = None
                        break
            yield slot, data

    def _other(self, data: bytes | bytearray) -> tuple[Lead, re.Match[bytes]] | None:
        """Return the lead by which a chunk begins, and put it before the others."""
        leads = self._leads
        for number, lead in enumerate(leads):
            found = lead.match(data)
            if found is not None:
                leads.insert(0, leads.pop(number))
                return lead, found
        return None


def _iter_beginnings(
    payloads: Iterator[tuple[int, bytes | None]], size: int
) -> Iterator[tuple[int, bytes | None]]:
    inflater = zlib.decompressobj
    for slot, payload in payloads:
        data = None
        if payload is not None:
            try:
                data = inflater().decompress(payload, size)
            except zlib.error:
                data = None
            else:
                # A shorter one has either ended or needs more bytes than these.
                if len(data) < size:
                    data = None
        yield slot, data
