"""Where the sections of a chunk keep their palettes and packed indices."""

from __future__ import annotations

from typing import NamedTuple

from analyzer.base.limits import Limits
from analyzer.save.chunk.outline import Outline
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import (
    BYTE,
    BYTE_ARRAY,
    COMPOUND,
    LIST,
    LONG,
    LONG_ARRAY,
    Cursor,
    Field,
)


class Section(NamedTuple):
    """Where a section's palette and its packed indices stand, in bytes; -1 where there are none."""

    palette_at: int
    palette_end: int
    words_at: int
    words: int


class SectionPlaces:
    """A chunk's sections, noted in passing or when they are asked for.

    Parameters
    ----------
    data, limits
        The chunk's tree.
    passed
        Where a list of sections stands, and the sections of it by height, where that is known.
    """

    def __init__(
        self, data: bytes, limits: Limits, passed: dict[int, dict[int, Section]] | None = None
    ) -> None:
        self._data = data
        self._limits = limits
        self._passed = {} if passed is None else passed

    def note(self, cursor: Cursor) -> None:
        """Note the list of sections that the cursor stands on, and pass over it.

        One that makes no sense is left to the cursor: nobody may ask for it.

        Raises
        ------
        TruncatedError, MalformedError
            As `Cursor.compound`.
        """
        at, ahead = cursor.at, cursor.ahead()
        try:
            self._passed[at] = _read_sections(ahead)
        except DamageError:
            return
        cursor.follow(ahead)

    def by_height(self, outline: Outline) -> dict[int, Section]:
        """Return the sections of the list that an outline names; none if it names no list.

        Raises
        ------
        DamageError
            Where the list makes no sense.
        """
        at = outline.sections_at
        if at is None:
            return {}
        noted = self._passed.get(at)
        return _read_sections(Cursor(self._data, self._limits, at)) if noted is None else noted


def _read_sections(cursor: Cursor) -> dict[int, Section]:
    sections = {}
    for tag in cursor.elements():
        if tag != COMPOUND:
            raise DamageError("bad-section", f"the sections have tag {tag}")
        height, section = _section_of(cursor.data, cursor.fields(within=b"block_states"))
        if section is None:
            continue
        if height is None:
            raise DamageError("bad-section", "a section with blocks does not give its height")
        sections[height] = section
    return sections


def _section_of(data: bytes, fields: list[Field]) -> tuple[int | None, Section | None]:
    height = None
    palette_at = palette_end = words_at = -1
    words = 0
    stored = False
    for name, tag, start, end, inner in fields:
        if name == b"Y" and BYTE <= tag <= LONG:
            height = int.from_bytes(data[start:end], "big", signed=True)
        elif name == b"Palette" and tag == LIST:
            palette_at, palette_end = start, end
            stored = True
        elif name == b"BlockStates" and tag == LONG_ARRAY:
            words_at, words = start + 4, (end - start - 4) // 8
            stored = True
        elif name == b"Blocks" and tag == BYTE_ARRAY:
            stored = True
        elif inner is not None:
            stored = True
            for inner_name, inner_tag, inner_start, inner_end, _ in inner:
                if inner_name == b"palette" and inner_tag == LIST:
                    palette_at, palette_end = inner_start, inner_end
                elif inner_name == b"data" and inner_tag == LONG_ARRAY:
                    words_at, words = inner_start + 4, (inner_end - inner_start - 4) // 8
    section = Section(palette_at, palette_end, words_at, words)
    return height, section if stored else None
