"""Sifting most of a region's chunks at the cost of inflating them, or their beginnings."""

from __future__ import annotations

import zlib

from analyzer.base.place import SLOTS
from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.files.region import RegionReader
from analyzer.save.nbt.inflate import first_step
from analyzer.save.sift.first_piece import FirstPiece
from analyzer.save.sift.known_leads import KnownLeads
from analyzer.save.sift.whole_sift import WholeSift


class QuickSift:
    """Tells chunks that hold nothing wanted by how others began that were walked.

    It says what `sift_chunk` would, of the same bytes, or nothing: then the chunk has to be walked.

    Parameters
    ----------
    first
        How much of a chunk to inflate.
    leads
        How others began.
    whole
        Tells the chunks where that is all of them.
    """

    def __init__(self, first: FirstPiece, leads: KnownLeads, whole: WholeSift) -> None:
        self._first = first
        self._leads = leads
        self._whole = whole

    def learn(self, content: ChunkContent) -> None:
        """Remember how a chunk begins that was sifted."""
        self._leads.learn(content)

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
        first, leads, inflater = self._first, self._leads, zlib.decompressobj
        while leads.latest and not first.whole:
            lead, settled, size = leads.latest[0], first.settled, first.size
            # One loop for nearly every chunk of a save: what is called costs as much as it does.
            for number, payload in reader.iter_zlib(header, slot, first_step(size)):
                if payload is None:
                    return number
                try:
                    data = inflater().decompress(payload, size)
                except zlib.error:
                    return number
                # A shorter one has either ended or needs more bytes than these.
                found = lead.match(data) if len(data) >= size else None
                if found is None:
                    other = leads.find(data) if len(data) >= size else None
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
        return self._whole.sift(reader, header, slot, status, versions) if first.whole else slot
