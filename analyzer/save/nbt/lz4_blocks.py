"""Streams of LZ4 blocks as the library lz4-java writes them ("LZ4Block").

This is not the LZ4 frame format, and no other library reads it: lz4's own functions see one block
at a time. Source: lz4-java, LZ4BlockOutputStream and LZ4BlockInputStream.
"""

from __future__ import annotations

from struct import Struct
from typing import Final

import lz4.block

from analyzer.save.nbt.damage import DamageError, too_large

_MAGIC: Final = b"LZ4Block"
# Magic, token, packed length, plain length, checksum.
_HEADER: Final = Struct("<8sBiiI")

_STORED: Final = 0x10
_PACKED: Final = 0x20

# A block's limit is 1 << (this + the token's low four bits) bytes.
_LEVEL_BASE: Final = 10


class Lz4Blocks:
    """The blocks of one stream, unpacked one by one.

    A block's checksum is an xxHash of its plain bytes. It is not looked at: the hash is in no
    library that this project otherwise needs, and a block that was altered seldom unpacks to the
    stated length, let alone to a well-formed tree.

    Parameters
    ----------
    payload
        The stream.
    limit
        Most plain bytes that one block may claim.
    """

    def __init__(self, payload: bytes, *, limit: int) -> None:
        self._payload = payload
        self._limit = limit
        self._at = 0

    def next_block(self) -> bytes:
        """Return the next block's plain bytes.

        Raises
        ------
        StopIteration
            After the empty block that ends a stream, or where the payload ends between blocks.
        DamageError
            For a block that is none, or is cut short.
        """
        at = self._at
        if at == len(self._payload):
            raise StopIteration
        if at + _HEADER.size > len(self._payload):
            raise _damaged("a block's header is cut short", at)
        magic, token, packed, plain, _ = _HEADER.unpack_from(self._payload, at)
        if magic != _MAGIC:
            raise _damaged("no block begins where one should", at)
        method, level = token & 0xF0, token & 0x0F
        if method not in (_STORED, _PACKED):
            raise _damaged(f"unknown method {method:#04x}", at)
        if packed < 0 or plain < 0 or plain > 1 << (_LEVEL_BASE + level):
            raise _damaged(f"false lengths {packed:,} and {plain:,}", at)
        if (packed == 0) != (plain == 0) or (method == _STORED and packed != plain):
            raise _damaged(f"lengths {packed:,} and {plain:,} contradict each other", at)
        start = at + _HEADER.size
        self._at = start + packed
        if plain == 0:
            raise StopIteration
        if self._at > len(self._payload):
            raise _damaged("a block is cut short", at)
        if plain > self._limit:
            raise too_large(self._limit)
        block = self._payload[start : self._at]
        return block if method == _STORED else _unpacked(block, plain, at)


def _unpacked(block: bytes, plain: int, at: int) -> bytes:
    try:
        data: bytes = lz4.block.decompress(block, uncompressed_size=plain)
    except lz4.block.LZ4BlockError as error:
        raise _damaged("a block does not unpack", at) from error
    if len(data) != plain:
        raise _damaged(f"a block unpacks to {len(data):,} bytes in place of {plain:,}", at)
    return data


def _damaged(what: str, at: int) -> DamageError:
    return DamageError("bad-lz4-stream", f"{what} (byte {at:,} of the stream)")
