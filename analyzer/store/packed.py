"""The file that a store is kept in: a head, an index, and pieces of bytes one after the other.

Everything in it is checked before it is used: lengths against the file's size, the index and each
piece against a digest. The digests find damage; they do not keep out somebody who may write the
file (docs/cache.md).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import blake2b
from struct import Struct
from typing import Any, BinaryIO, Final

#: What a store's file begins with; its last figure is the form's own number.
MAGIC: Final = b"lineshaft store  1\r\n"
#: Bytes of the digest that says what a store is for.
IDENTITY_BYTES: Final = 32
#: Longest index that is read: that of some 300,000 pieces.
MOST_INDEX_BYTES: Final = 64 * 1024 * 1024

_DIGEST_BYTES: Final = 16
_HEAD: Final = Struct(f"<{len(MAGIC)}s{IDENTITY_BYTES}sQ{_DIGEST_BYTES}s")


class DamagedError(Exception):
    """A file, or a piece of it, that is not what was written; it never leaves the package."""


@dataclass(frozen=True)
class Piece:
    """Where a piece lies in the file, and what is known of it.

    Parameters
    ----------
    mark
        What the piece was made of.
    offset, size
        In bytes.
    digest
        Of the piece's bytes.
    """

    mark: bytes
    offset: int
    size: int
    digest: bytes


def digest_of(data: bytes) -> bytes:
    """Return the digest by which damage to some bytes shows."""
    return blake2b(data, digest_size=_DIGEST_BYTES).digest()


def read_index(file: BinaryIO, size: int, identity: bytes) -> dict[str, Piece]:
    """Read what a file holds, by name.

    Parameters
    ----------
    file
        The file, at its beginning.
    size
        Its size, in bytes.
    identity
        What the store must be for.

    Raises
    ------
    DamagedError
        Where it is no store's file, one for something else, or damaged.
    OSError
        Where it cannot be read.
    """
    head = file.read(_HEAD.size)
    if len(head) < _HEAD.size:
        raise DamagedError("cut short")
    magic, found, length, digest = _HEAD.unpack(head)
    if magic != MAGIC or found != identity:
        raise DamagedError("foreign")
    if length > min(MOST_INDEX_BYTES, size - _HEAD.size):
        raise DamagedError("cut short")
    text = file.read(length)
    if len(text) < length or digest_of(text) != digest:
        raise DamagedError("altered")
    try:
        return dict(_iter_pieces(json.loads(text), _HEAD.size + length, size))
    except (LookupError, RecursionError, TypeError, ValueError) as error:
        raise DamagedError("senseless") from error


def read_piece(file: BinaryIO, piece: Piece) -> bytes:
    """Read one piece.

    Raises
    ------
    DamagedError
        Where its bytes are not those that were written.
    OSError
        Where it cannot be read.
    """
    file.seek(piece.offset)
    data = file.read(piece.size)
    if len(data) < piece.size or digest_of(data) != piece.digest:
        raise DamagedError("altered")
    return data


def head_and_index(identity: bytes, pieces: Sequence[tuple[str, Piece]]) -> bytes:
    """Return what stands before the pieces; their offsets do not matter, they follow in order."""
    rows = [[name, piece.mark.hex(), piece.size, piece.digest.hex()] for name, piece in pieces]
    text = json.dumps(rows).encode("ascii")
    return _HEAD.pack(MAGIC, identity, len(text), digest_of(text)) + text


def _iter_pieces(rows: Any, start: int, size: int) -> Iterator[tuple[str, Piece]]:
    at = start
    for name, mark, length, digest in rows:
        if not isinstance(name, str) or type(length) is not int or length < 0:
            raise ValueError("a row of something else")
        at += length
        if at > size:
            raise ValueError("beyond the end")
        yield name, Piece(bytes.fromhex(mark), at - length, length, bytes.fromhex(digest))
