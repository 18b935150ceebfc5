"""A structure template: blocks with positions of their own, and what they store.

A template lists its blocks one by one instead of packing them, and knows no chunks
(docs/save-format.md, Structure templates).
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from dataclasses import dataclass, replace
from struct import Struct
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from analyzer.base.limits import Limits
from analyzer.base.tables import unique_rows
from analyzer.save.chunk.entries import Entry, read_entry
from analyzer.save.chunk.palette import Palette, PaletteReader
from analyzer.save.chunk.versions import FIRST_NAMED
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import BYTE, COMPOUND, INT, LIST, LONG, Cursor

_PLACE: Final = Struct(">3i").unpack_from
_PLACE_BYTES: Final = 12

# Names and numbers of one block: its compound, three values of it, and those of its data.
_TAGS_A_BLOCK: Final = 8


@dataclass(frozen=True, eq=False)
class Template:
    """A structure template that could be read; its blocks are in stored order.

    Parameters
    ----------
    data
        Its tree.
    data_version
        Its data version.
    palette
        The block states that its blocks point to; of several palettes the first.
    several_palettes
        Whether it has more than one.
    xyz
        Positions of the blocks from the template's least corner, int32, shape (n, 3).
    state
        Index into `palette`, int32, shape (n,).
    entity_at
        Where the block's data stands in `data`, int64, shape (n,); -1 for a block without.
    stands
        Whether no later block has the same place, bool, shape (n,).
    limits
        Bounds of reading on in `data`.
    """

    data: bytes
    data_version: int
    palette: Palette
    several_palettes: bool
    xyz: npt.NDArray[np.int32]
    state: npt.NDArray[np.int32]
    entity_at: npt.NDArray[np.int64]
    stands: npt.NDArray[np.bool_]
    limits: Limits

    def iter_entities(self) -> Iterator[tuple[int, Entry]]:
        """Iterate over the rows with data of a block entity, and that entity.

        A position that the data itself gives is of the world that it was taken from.
        """
        for row in np.flatnonzero(self.entity_at >= 0).tolist():
            yield row, read_entry(Cursor(self.data, self.limits, int(self.entity_at[row])))


def read_template(data: bytes, limits: Limits) -> Template:
    """Read a template's tree.

    Parameters
    ----------
    data
        The inflated file.
    limits
        Bounds of reading.

    Raises
    ------
    DamageError
        Where it is no template, too old, or makes no sense.
    TruncatedError, MalformedError
        As `Cursor.compound`.
    """
    limits = replace(limits, tags=limits.tags + _TAGS_A_BLOCK * limits.template_blocks)
    version: int | None = None
    blocks: _Blocks | None = None
    palette_at: list[int] = []
    palettes_at: list[int] = []
    cursor = Cursor(data, limits)
    for name, tag in cursor.root():
        if name == b"DataVersion" and BYTE <= tag <= LONG:
            version = int(cursor.number(tag))
        elif name == b"blocks" and tag == LIST:
            blocks = _read_blocks(cursor, limits)
        elif name == b"palette" and tag == LIST:
            palette_at = [cursor.at]
        elif name == b"palettes" and tag == LIST:
            palettes_at = _lists_in(cursor)
    # As in the game, several palettes come before a single one.
    palettes_at = palettes_at or palette_at
    if blocks is None or not palettes_at:
        raise DamageError("no-template", "it has no list of blocks, or no palette for them")
    data_version = _usable(version)
    palette = PaletteReader(limits).read(Cursor(data, limits, palettes_at[0]))
    _check_states(blocks.state, len(palette))
    return Template(
        data=data,
        data_version=data_version,
        palette=palette,
        several_palettes=len(palettes_at) > 1,
        xyz=blocks.xyz,
        state=blocks.state,
        entity_at=blocks.entity_at,
        stands=_stands(blocks.xyz),
        limits=limits,
    )


def _lists_in(cursor: Cursor) -> list[int]:
    found = []
    for tag in cursor.elements():
        if tag != LIST:
            raise DamageError("bad-palette", f"the palettes have tag {tag}")
        found.append(cursor.at)
    return found


def _usable(version: int | None) -> int:
    if version is None:
        raise DamageError("version-missing", "it has no data version")
    if version < FIRST_NAMED:
        raise DamageError("old-template", f"its data version {version} is from before 1.13")
    return min(version, 2**31 - 1)


class _Blocks(NamedTuple):
    xyz: npt.NDArray[np.int32]
    state: npt.NDArray[np.int32]
    entity_at: npt.NDArray[np.int64]


def _read_blocks(cursor: Cursor, limits: Limits) -> _Blocks:
    _, count = Cursor(cursor.data, limits, cursor.at).list_header()
    if count > limits.template_blocks:
        most = f"{limits.template_blocks:,}"
        raise DamageError("too-large", f"{count:,} blocks are more than the limit of {most}")
    # Compact, since there may be a million blocks.
    places, states, entities = array("i"), array("i"), array("q")
    for number, tag in enumerate(cursor.elements()):
        place, state, entity_at = _read_block(cursor) if tag == COMPOUND else (None, -1, -1)
        if place is None or not 0 <= state < 2**31:
            raise DamageError("bad-block", f"block {number:,} has no usable place and state")
        places.extend(place)
        states.append(state)
        entities.append(entity_at)
    return _Blocks(
        xyz=np.array(places, np.int32).reshape(-1, 3),
        state=np.array(states, np.int32),
        entity_at=np.array(entities, np.int64),
    )


def _read_block(cursor: Cursor) -> tuple[tuple[int, int, int] | None, int, int]:
    place, state, entity_at = None, -1, -1
    for name, tag in cursor.compound():
        if name == b"pos" and tag == LIST:
            place = _read_place(cursor)
        elif name == b"state" and BYTE <= tag <= LONG:
            state = int(cursor.number(tag))
        elif name == b"nbt" and tag == COMPOUND:
            entity_at = cursor.at
    return place, state, entity_at


def _read_place(cursor: Cursor) -> tuple[int, int, int] | None:
    at = cursor.at
    element, count = cursor.list_header()
    if element != INT or count != 3 or len(cursor.data) < cursor.at + _PLACE_BYTES:
        cursor.at = at
        return None
    x, y, z = _PLACE(cursor.data, cursor.at)
    cursor.at += _PLACE_BYTES
    return x, y, z


def _check_states(state: npt.NDArray[np.int32], palette: int) -> None:
    outside = np.flatnonzero(state >= palette)
    if len(outside):
        first = int(outside[0])
        raise DamageError(
            "bad-block",
            f"block {first:,} points to entry {int(state[first]):,} of a palette of {palette:,}",
        )


def _stands(xyz: npt.NDArray[np.int32]) -> npt.NDArray[np.bool_]:
    _, place = unique_rows(xyz[:, 0], xyz[:, 1], xyz[:, 2])
    stands = np.zeros(len(xyz), bool)
    last = np.zeros(int(place.max(initial=-1)) + 1, np.int64)
    # Of equal places the highest row counts.
    np.maximum.at(last, place, np.arange(len(xyz)))
    stands[last] = True
    return stands
