"""Sifting most of a region's chunks at the cost of inflating their beginnings."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from typing import Final

from analyzer.save.chunk import ChunkContent
from analyzer.save.first_piece import FirstPiece
from analyzer.save.inflate import first_step
from analyzer.save.lead import Lead, learn_lead
from analyzer.save.region import RegionReader

# A region where chunks begin in more ways than these has programs or layouts of every sort.
_MOST_LEADS: Final = 8


class QuickSift:
    """Tells chunks without a block entity by how others began that were walked.

    It says what `sift_chunk` would, of the same bytes, or nothing: then the chunk has to be walked.

    Parameters
    ----------
    first
        How much of a chunk to inflate.
    """

    def __init__(self, first: FirstPiece) -> None:
        self._first = first
        self._leads: list[Lead] = []

    @property
    def ready(self) -> bool:
        """Whether enough chunks were walked."""
        return self._first.settled and not self._first.whole

    def learn(self, content: ChunkContent) -> None:
        """Remember how a chunk begins that was sifted."""
        if len(self._leads) < _MOST_LEADS and not self._first.whole:
            lead = learn_lead(content)
            if lead is not None and all(lead.pattern != known.pattern for known in self._leads):
                self._leads.append(lead)

    def looker(self, reader: RegionReader) -> Callable[[int, int], Lead | None]:
        """Return a function from a slot and its location to how its chunk begins, if known.

        Only once it is `ready`; what is learned later counts too.
        """
        leads, size = self._leads, self._first.size
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
            if len(data) < size:
                return None
            for number, lead in enumerate(leads):
                found = lead.match(data)
                if found is not None:
                    if number:
                        leads.insert(0, leads.pop(number))
                    if lead.place_tags and not lead.tells(found, reader.chunk(slot)):
                        return None
                    return lead
            return None

        return look
