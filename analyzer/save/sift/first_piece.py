"""How much of a chunk to inflate before the first look at it."""

from __future__ import annotations

from typing import Final

# Enough for the lists that come first, which begin within some 70 bytes.
_SMALL_BYTES: Final = 128
# Chunks that were inflated no further than this cost little, wherever their list stood.
_CHEAP_BYTES: Final = 1024
# How many chunks of a region decide, and how many of them must agree.
_TRIED: Final = 4
_MOST_OF_THEM: Final = 3


class FirstPiece:
    """The size of the first piece of a region's chunks.

    Some programs write a chunk's list of block entities last, and some write long arrays before
    it. To look at a chunk again and again while it grows then costs more than to inflate at once
    what is needed. The first few chunks of a region, by slot, decide for all further ones, so that
    the answer does not depend on anything else.

    Parameters
    ----------
    whole_bytes
        More bytes than any chunk may have.
    at_once
        Inflate every chunk whole, wherever its list stands.

    Attributes
    ----------
    size
        How much to inflate, in bytes.
    whole
        Whether that is all of it.
    settled
        Whether the size stays as it is for the rest of the region.
    """

    def __init__(self, whole_bytes: int, *, at_once: bool = False) -> None:
        self.size = whole_bytes if at_once else _SMALL_BYTES
        self.whole = self.settled = at_once
        self._whole_bytes = whole_bytes
        self._enough: list[int] = []
        self._tried = 0

    def note(self, inflated_bytes: int, *, ended: bool) -> None:
        """Take into account how far a chunk had to be inflated until it could be judged.

        Parameters
        ----------
        inflated_bytes
            How far.
        ended
            Whether that was all of it.
        """
        if self.settled:
            return
        self._tried += 1
        self.settled = self._tried == _TRIED
        if not ended or inflated_bytes <= _CHEAP_BYTES:
            self._enough.append(max(inflated_bytes, _SMALL_BYTES))
        if self.settled:
            self.size = self._settle()
            self.whole = self.size == self._whole_bytes

    def _settle(self) -> int:
        if _TRIED - len(self._enough) >= _MOST_OF_THEM:
            return self._whole_bytes
        if len(self._enough) >= _MOST_OF_THEM:
            return sorted(self._enough)[_MOST_OF_THEM - 1]
        return _SMALL_BYTES
