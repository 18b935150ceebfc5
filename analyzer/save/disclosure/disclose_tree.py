"""What a tree in a file of its own discloses: ``level.dat``, maps, command storage."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.base.limits import Limits
from analyzer.save.disclosure.disclosure import AddressKind
from analyzer.save.disclosure.look_around import StoredTree
from analyzer.save.disclosure.stored_texts import iter_addresses
from analyzer.save.files.level import LEVEL_FILE
from analyzer.save.files.opening import leaves, open_for_reading
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import GZIP, PLAIN, open_stream
from analyzer.save.nbt.walker import COMPOUND, Cursor

_LARGEST_BYTES: Final = 64 * 1024 * 1024
_GZIP: Final = b"\x1f\x8b"


def read_tree(tree: StoredTree, limits: Limits) -> bytes | None:
    """Return the bytes of a tree; None where the file holds something else.

    Raises
    ------
    DamageError
        Where it is damaged, too large, or a link out of the save.
    OSError
        Where it cannot be read.
    """
    if leaves(tree.path, tree.boundary):
        raise DamageError("link-leaves-save", "the file is a link out of the save")
    with open_for_reading(tree.path) as file:
        stored = file.read(_LARGEST_BYTES)
    packed = stored.startswith(_GZIP)
    stream = open_stream(GZIP if packed else PLAIN, stored, limit=limits.inflated_bytes)
    stream.grow(limits.inflated_bytes + 1)
    return stream.data if stream.data[:1] == bytes([COMPOUND]) else None


def addresses_in(data: bytes, limits: Limits) -> Iterator[tuple[str, AddressKind, str]]:
    """Iterate over the addresses in a tree's texts.

    Raises
    ------
    TruncatedError, MalformedError
        As `Cursor.compound`.
    """
    cursor = Cursor(data, limits)
    return iter_addresses(_root(cursor), cursor)


def has_owner(file: str, data: bytes, limits: Limits) -> bool:
    """Return whether a tree is a ``level.dat`` with the player of whoever made the world in it.

    Raises
    ------
    TruncatedError, MalformedError
        As `Cursor.compound`.
    """
    if not file.rpartition("/")[2].startswith(LEVEL_FILE):
        return False
    cursor = Cursor(data, limits)
    for name, tag in cursor.root():
        if name == b"Data" and tag == COMPOUND:
            # From 26.1 on the player lies in a file of its own, which this says is the owner's.
            return any(key in (b"Player", b"singleplayer_uuid") for key, _ in cursor.compound())
    return False


def _root(cursor: Cursor) -> Iterator[tuple[bytes | None, int]]:
    yield from cursor.root()
