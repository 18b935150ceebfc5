"""Palettes: the block states that a section lists."""

from __future__ import annotations

from typing import Final, TypeAlias, TypeVar

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import COMPOUND, STRING, Cursor

_Value = TypeVar("_Value")

#: Block states in the order of a palette.
Palette: TypeAlias = tuple[BlockState, ...]

# Bounds on what is remembered; real worlds stay far below, hostile ones must not fill the memory.
_MOST_REMEMBERED: Final = 20_000
_LARGEST_REMEMBERED_BYTES: Final = 1024
_MOST_PALETTES: Final = 1_000
_LARGEST_PALETTE_BYTES: Final = 4 * 1024


class PaletteReader:
    """Reads palettes and remembers them and their entries: sections share nearly all of these.

    Parameters
    ----------
    limits
        Bounds on the entries.
    """

    def __init__(self, limits: Limits = Limits()) -> None:  # noqa: B008 (frozen)
        self._limits = limits
        self._known: dict[bytes, BlockState] = {}
        self._palettes: dict[bytes, Palette] = {}

    def known(self, data: bytes, at: int, end: int) -> Palette | None:
        """Return the palette that stands somewhere, if the same bytes were read before."""
        return self._palettes.get(data[at:end])

    def read(self, cursor: Cursor) -> Palette:
        """Read the palette that the cursor stands on.

        Raises
        ------
        DamageError
            For an entry that is no block state, and for more or larger ones than the limits allow.
        """
        check_entries(cursor, self._limits.palette_entries)
        at, most_bytes = cursor.at, self._limits.state_bytes
        states = []
        for tag in cursor.elements():
            if tag != COMPOUND:
                raise DamageError("bad-palette", f"the palette's entries have tag {tag}")
            start = cursor.at
            cursor.skip(tag)
            size = cursor.at - start
            if size > most_bytes:
                detail = f"a palette entry of {size:,} bytes is larger than the limit"
                raise DamageError("bad-palette", detail)
            stored = cursor.data[start : cursor.at]
            state = self._known.get(stored)
            if state is None:
                cursor.at = start
                state = _read_state(cursor)
                if size <= _LARGEST_REMEMBERED_BYTES:
                    _remember(self._known, stored, state, _MOST_REMEMBERED)
            states.append(state)
        palette = tuple(states)
        if cursor.at - at <= _LARGEST_PALETTE_BYTES:
            _remember(self._palettes, cursor.data[at : cursor.at], palette, _MOST_PALETTES)
        return palette


def _remember(known: dict[bytes, _Value], stored: bytes, value: _Value, most: int) -> None:
    if len(known) >= most:
        known.clear()
    known[stored] = value


def check_entries(cursor: Cursor, most: int) -> int:
    """Return how many entries the palette has that the cursor stands on, and stay there.

    Raises
    ------
    DamageError
        For more than so many.
    """
    _, count = cursor.ahead().list_header()
    if count > most:
        detail = f"{count:,} entries of palettes are more than the limit leaves"
        raise DamageError("bad-palette", detail)
    return count


def _read_state(cursor: Cursor) -> BlockState:
    block = None
    properties: dict[str, str] = {}
    for name, tag in cursor.compound():
        if name == b"Name" and tag == STRING:
            block = cursor.text()
        elif name == b"Properties" and tag == COMPOUND:
            for key, inner_tag in cursor.compound():
                if inner_tag != STRING:
                    raise DamageError("bad-palette", f"a property has tag {inner_tag}, no text")
                properties[decode_text(key)] = cursor.text()
    if block is None:
        raise DamageError("bad-palette", "a palette entry does not name its block")
    return BlockState(block, tuple(sorted(properties.items())))
