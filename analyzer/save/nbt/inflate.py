"""A chunk's bytes as they come out of its compression, no more than are asked for.

Most chunks can be judged by their beginning, so a stream grows on demand. Every stream is bounded:
a few kilobytes of a hostile save may inflate to gigabytes.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from typing import Final, Protocol

from deflate import DeflateError, zlib_decompress

from analyzer.save.nbt.damage import DamageError, too_large
from analyzer.save.nbt.lz4_blocks import Lz4Blocks

GZIP: Final = 1
ZLIB: Final = 2
PLAIN: Final = 3
LZ4: Final = 4
CUSTOM: Final = 127

# Inflated size of a chunk, in bytes and by its payload's size, that few exceed.
_USUAL_BYTES: Final = 64 * 1024
_USUAL_RATIO: Final = 24

# zlib's window-bits argument: 15 a zlib stream, 31 a gzip member.
_WINDOW_BITS: Final = {GZIP: 31, ZLIB: 15}
_NAMES: Final = {GZIP: "gzip", ZLIB: "zlib"}


def first_step(want: int) -> int:
    """Return how many compressed bytes to take up where some inflated ones are asked for.

    No more than can be expected to matter: handing back an unused rest copies it.
    """
    return max(want, 256)


class Stream(Protocol):
    """A chunk's inflated bytes as far as they have been asked for.

    `data` holds them; `ended` says that no more will come; `sealed` that the compressed bytes came
    to their own end mark, so that nothing is missing. That they stop before it is no damage: the
    game never reads a stream's trailer, and some programs store it beyond the declared length.
    """

    data: bytes
    ended: bool
    sealed: bool

    def grow(self, size: int) -> None:
        """Inflate until `data` holds that many bytes, or the stream has ended.

        Raises
        ------
        DamageError
            Where the compressed bytes are damaged, or the result is larger than the limit.
        """


def inflate_at_once(payload: bytes, limit: int, *, room: int = 0) -> bytearray | None:
    """Return a sound zlib stream inflated, in a third of the time that `DeflateStream` takes.

    None where the stream is not sound, or larger than it may be or could be expected to be: to
    tell these apart takes a `DeflateStream`.

    Parameters
    ----------
    payload
        The stream.
    limit
        Most bytes that may come out.
    room
        How many bytes are expected to come out; less is no harm.
    """
    # The library writes into room that must be there before it begins.
    usual = max(_USUAL_BYTES, _USUAL_RATIO * len(payload))
    for size in (room, usual) if 0 < room < usual else (usual,):
        try:
            # Room for nothing would be taken for a chunk of nothing.
            return zlib_decompress(payload, max(1, min(size, limit)))
        except DeflateError:
            continue
    return None


def open_stream(compression: int, payload: bytes, *, limit: int) -> Stream:
    """Return the stream of a payload; nothing is inflated yet.

    Parameters
    ----------
    compression
        1 gzip, 2 zlib, 3 none, 4 LZ4 blocks; without the flag for external files.
    limit
        Most bytes that may come out.

    Raises
    ------
    DamageError
        For any other compression.
    """
    if compression in _WINDOW_BITS:
        return DeflateStream(payload, compression, limit=limit)
    if compression == PLAIN:
        return PieceStream(iter([payload]).__next__, limit=limit)
    if compression == LZ4:
        blocks = Lz4Blocks(payload, limit=limit)
        return PieceStream(blocks.next_block, limit=limit)
    if compression == CUSTOM:
        raise DamageError("custom-compression", "compressed by an algorithm of a server's own")
    raise DamageError("unknown-compression", f"compression {compression} is not known")


class DeflateStream:
    """A zlib stream or gzip member."""

    def __init__(self, payload: bytes, compression: int, *, limit: int) -> None:
        self.data = b""
        self.ended = self.sealed = False
        self._name = _NAMES[compression]
        self._inflater = zlib.decompressobj(_WINDOW_BITS[compression])
        self._payload = payload if compression == ZLIB else None
        self._untried = self._payload is not None
        self._left = memoryview(payload)
        self._limit = limit

    def grow(self, size: int) -> None:
        """See `Stream.grow`."""
        if size > self._limit and self._untried and self._payload is not None:
            self._untried = False
            # What came so far comes again, sooner than the rest would.
            whole = inflate_at_once(self._payload, self._limit)
            if whole is not None:
                self._end_with(whole)
                return
        pieces = [self.data]
        # One byte more than the limit tells "as large as allowed" from "larger".
        want = min(size, self._limit + 1) - len(self.data)
        while want > 0 and not self.ended:
            try:
                piece = self._piece(want)
            except DamageError:
                # Of some faults the libraries disagree whether they are any. What either can read,
                # with its checksum, is read, whichever was asked first.
                whole = self._read_otherwise()
                if whole is None:
                    raise
                self._end_with(whole)
                return
            pieces.append(piece)
            want -= len(piece)
        self.data = b"".join(pieces)
        if len(self.data) > self._limit:
            raise too_large(self._limit)

    def _end_with(self, whole: bytearray) -> None:
        self.data = bytes(whole)
        self.ended = self.sealed = True

    def _read_otherwise(self) -> bytearray | None:
        """Return a zlib stream as the quicker library inflates it; None if it cannot, either."""
        if self._payload is None:
            return None
        try:
            return zlib_decompress(self._payload, self._limit)
        except DeflateError:
            return None

    def _piece(self, want: int) -> bytes:
        inflater = self._inflater
        tail = inflater.unconsumed_tail
        if not tail:
            step = first_step(want)
            tail, self._left = bytes(self._left[:step]), self._left[step:]
        try:
            piece = inflater.decompress(tail, want)
        except zlib.error as error:
            # The library's own words differ from build to build, and reports must not.
            reason, detail = f"bad-{self._name}-stream", f"the {self._name} stream is damaged"
            raise DamageError(reason, detail) from error
        self.sealed = inflater.eof
        spent = not (piece or inflater.unconsumed_tail or len(self._left))
        self.ended = inflater.eof or spent
        return piece


class PieceStream:
    """A stream that comes in pieces of its own size; the last is followed by `StopIteration`."""

    def __init__(self, next_piece: Callable[[], bytes], *, limit: int) -> None:
        self.data = b""
        self.ended = self.sealed = False
        self._next_piece = next_piece
        self._limit = limit

    def grow(self, size: int) -> None:
        """See `Stream.grow`."""
        pieces = [self.data]
        have = len(self.data)
        while have < size and not self.ended:
            try:
                piece = self._next_piece()
            except StopIteration:
                self.ended = True
                break
            pieces.append(piece)
            have += len(piece)
            if have > self._limit:
                raise too_large(self._limit)
        self.data = b"".join(pieces)
