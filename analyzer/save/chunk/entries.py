"""The block entities that a chunk lists."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from analyzer.base.place import Block, Chunk
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import BYTE, COMPOUND, LONG, STRING, Cursor

_AXES: Final = {b"x": 0, b"y": 1, b"z": 2}
_LEAST: Final = -(2**31)
_MOST: Final = 2**31 - 1


class Entry(NamedTuple):
    """One block entity: its id in modified UTF-8, its position, where its compound stands.

    `id` and `block` are None where the entry has no usable ones.
    """

    id: bytes | None
    block: Block | None
    at: int


def iter_entries(cursor: Cursor, most: int) -> Iterator[Entry]:
    """Iterate over the list of block entities that the cursor stands on, and pass over it.

    Parameters
    ----------
    cursor
        Stands on the list.
    most
        How many there may be.

    Raises
    ------
    TruncatedError, MalformedError
        As `Cursor.compound`.
    DamageError
        For a list of something else than compounds, or of too many.
    """
    _, count = cursor.ahead().list_header()
    if count > most:
        raise DamageError("too-large", f"{count:,} block entities are more than the limit")
    for tag in cursor.elements():
        if tag != COMPOUND:
            raise DamageError("bad-entity-list", f"the block entities have tag {tag}")
        yield read_entry(cursor)


def read_entry(cursor: Cursor) -> Entry:
    """Read the block entity whose compound the cursor stands on, and pass over it.

    Raises
    ------
    TruncatedError, MalformedError
        As `Cursor.compound`.
    """
    at = cursor.at
    name: bytes | None = None
    position: list[int | None] = [None, None, None]
    data = cursor.data
    for key, tag, start, end, _ in cursor.fields():
        if key == b"id":
            name = data[start + 2 : end] if tag == STRING else None
        elif key in _AXES:
            whole = BYTE <= tag <= LONG
            value = int.from_bytes(data[start:end], "big", signed=True) if whole else None
            position[_AXES[key]] = value
    x, y, z = position
    if x is None or y is None or z is None:
        return Entry(name, None, at)
    if min(x, y, z) < _LEAST or max(x, y, z) > _MOST:
        return Entry(name, None, at)
    return Entry(name, Block(x, y, z), at)


def lies_in(block: Block, chunk: Chunk) -> bool:
    """Return whether a block lies in a chunk, at whatever height."""
    return block.x >> 4 == chunk.cx and block.z >> 4 == chunk.cz


def cell_number(block: Block) -> int:
    """Return a block's number in its section."""
    return (block.y & 15) << 8 | (block.z & 15) << 4 | block.x & 15
