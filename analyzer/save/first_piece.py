"""How much of a chunk to inflate before the first look at it."""

from __future__ import annotations

from typing import Final

from analyzer.save.inflate import Stream

# Enough for the lists that come first, which begin within some 50 bytes.
_SMALL_BYTES: Final = 256
# Chunks that were inflated no further than this cost little, wherever their list stood.
_CHEAP_BYTES: Final = 1024
# How many chunks of a region decide, and how many of them must have their list late.
_TRIED: Final = 4
_MOST_OF_THEM: Final = 3


class FirstPiece:
    """The size of the first piece of a region's chunks.

    Some programs write a chunk's list of block entities last. To look at a chunk again and again
    while it grows then costs more than to inflate it at once. The first few chunks of a region, by
    slot, decide for all further ones, so that the answer does not depend on anything else.

    Parameters
    ----------
    whole_bytes
        More bytes than any chunk may have.
    """

    def __init__(self, whole_bytes: int) -> None:
        self.size = _SMALL_BYTES
        self._whole_bytes = whole_bytes
        self._tried = 0
        self._late = 0

    def note(self, stream: Stream) -> None:
        """Take into account how far a chunk had to be inflated until it could be judged."""
        if self._tried == _TRIED:
            return
        self._tried += 1
        self._late += stream.ended and len(stream.data) > _CHEAP_BYTES
        if self._tried == _TRIED and self._late >= _MOST_OF_THEM:
            self.size = self._whole_bytes
