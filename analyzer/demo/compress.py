"""Compressing a chunk in each of the game's ways.

The LZ4 way is a stream of blocks with a header and a checksum each, not the LZ4 frame format
(docs/save-format.md, LZ4).
"""

from __future__ import annotations

import struct
import zlib
from typing import Final

import lz4.block

from analyzer.demo.manner import Compression

_BLOCK_BYTES: Final = 64 * 1024
_MAGIC: Final = b"LZ4Block"
_STORED_64_KIB: Final = 0x16
_PACKED_64_KIB: Final = 0x26
_CHECKSUM_SEED: Final = 0x9747B28C
_CHECKSUM_MASK: Final = 0x0FFFFFFF

#: The five primes of xxHash32. Source: the xxHash specification, "XXH32 algorithm description".
_PRIMES: Final = (2654435761, 2246822519, 3266489917, 668265263, 374761393)
_WORD: Final = 0xFFFFFFFF


def compress(data: bytes, compression: Compression) -> bytes:
    """Compress a chunk's NBT; equal input gives equal bytes, without a time in them."""
    if compression is Compression.GZIP:
        return gzip_bytes(data)
    if compression is Compression.ZLIB:
        return zlib.compress(data)
    if compression is Compression.LZ4:
        return lz4_stream(data)
    return data


def gzip_bytes(data: bytes) -> bytes:
    """Compress as a gzip file without name and time.

    >>> import gzip
    >>> gzip.decompress(gzip_bytes(b"tar")) == b"tar"
    True
    """
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    body = packer.compress(data) + packer.flush()
    head = b"\x1f\x8b\x08\x00" + bytes(4) + b"\x02\xff"
    return head + body + struct.pack("<II", zlib.crc32(data), len(data) & _WORD)


def lz4_stream(data: bytes) -> bytes:
    """Compress as a stream of LZ4 blocks of 64 KiB, closed by an empty block.

    >>> lz4_stream(b"").hex()
    '4c5a34426c6f636b16000000000000000000000000'
    """
    out = []
    for start in range(0, len(data), _BLOCK_BYTES):
        plain = data[start : start + _BLOCK_BYTES]
        packed = lz4.block.compress(plain, store_size=False)
        token, body = (
            (_PACKED_64_KIB, packed) if len(packed) < len(plain) else (_STORED_64_KIB, plain)
        )
        checksum = xxhash32(plain, _CHECKSUM_SEED) & _CHECKSUM_MASK
        out.append(_MAGIC + struct.pack("<BIII", token, len(body), len(plain), checksum) + body)
    out.append(_MAGIC + struct.pack("<BIII", _STORED_64_KIB, 0, 0, 0))
    return b"".join(out)


def xxhash32(data: bytes, seed: int) -> int:
    """Return the 32-bit xxHash of some bytes.

    Source: the xxHash specification, "XXH32 algorithm description"; the value below from memory
    of its test vectors.

    >>> hex(xxhash32(b"", 0))
    '0x2cc5d05'
    """
    prime1, prime2, prime3, prime4, prime5 = _PRIMES
    whole = len(data) // 16 * 16
    if whole:
        lanes = [seed + prime1 + prime2, seed + prime2, seed, seed - prime1]
        for start in range(0, whole, 16):
            for lane, word in enumerate(struct.unpack_from("<4I", data, start)):
                lanes[lane] = _rotated(lanes[lane] + word * prime2, 13) * prime1
        value = sum(_rotated(lane, by) for lane, by in zip(lanes, (1, 7, 12, 18), strict=True))
    else:
        value = seed + prime5
    value += len(data)
    words_end = len(data) // 4 * 4
    for (word,) in struct.iter_unpack("<I", data[whole:words_end]):
        value = _rotated(value + word * prime3, 17) * prime4
    for byte in data[words_end:]:
        value = _rotated(value + byte * prime5, 11) * prime1
    value &= _WORD
    value = (value ^ value >> 15) * prime2 & _WORD
    value = (value ^ value >> 13) * prime3 & _WORD
    return value ^ value >> 16


def _rotated(value: int, by: int) -> int:
    value &= _WORD
    return (value << by | value >> (32 - by)) & _WORD
