"""What is compiled to read a chunk whole: a walk that notes where all stands that may be asked for.

It keeps to the rules of `analyzer.save.compiled.octets`.
"""

from __future__ import annotations

from typing import Final

from analyzer.save.compiled.kernel import (
    CX,
    CZ,
    MET,
    MET_CX,
    MET_LEVEL,
    MET_LIST,
    MET_SECTIONS,
    MET_STATUS,
    MET_VERSION,
    STATUS_AT,
    STATUS_END,
    VERSION,
    meaning_at,
)
from analyzer.save.compiled.octets import (
    SURE,
    UNSURE,
    Octets,
    Room,
    count_at,
    length_at,
    name_number,
    octet,
    signed_at,
    skip,
    width_of,
    word_at,
)
from analyzer.save.nbt.walker import (
    BYTE,
    BYTE_ARRAY,
    COMPOUND,
    END,
    LIST,
    LONG,
    LONG_ARRAY,
    STRING,
)

#: Places in what a chart notes, after those up to `STATUS_END` that a walk notes as well: where the
#: lists stand, how many sections and block entities are noted, what was met before the list of
#: block entities, and where the numbers stand, with their tags.
ENTITIES_AT: Final = 6
SECTIONS_AT: Final = 7
SECTIONS: Final = 8
ENTITIES: Final = 9
MET_BEFORE: Final = 10
VERSION_AT: Final = 11
CX_AT: Final = 13
CZ_AT: Final = 15

#: For each section: its height, where its palette stands and ends, where its words stand, and how
#: many they are; -1 for a place that there is not.
SECTION_ROWS: Final = 17
SECTION_ROW: Final = 5
MOST_SECTIONS: Final = 64

#: For each block entity: where it stands, where its id stands and ends (-1: none), its position,
#: and whether it has one (1 or 0).
ENTITY_ROWS: Final = SECTION_ROWS + SECTION_ROW * MOST_SECTIONS
ENTITY_ROW: Final = 7
MOST_ENTITIES: Final = 4096

#: Numbers of room for all that is noted.
CHART_ROOM: Final = ENTITY_ROWS + ENTITY_ROW * MOST_ENTITIES

_LEAST: Final = -(2**31)
_MOST: Final = 2**31 - 1

_ID_NAME: Final = name_number(b"id")
_X_NAME: Final = name_number(b"x")
_Z_NAME: Final = name_number(b"z")
_Y_NAME: Final = name_number(b"Y")
_DATA: Final = name_number(b"data")
_BLOCKS: Final = name_number(b"Blocks")
_PALETTE: Final = name_number(b"palette")
_PALETTE_BEFORE: Final = name_number(b"Palette")
_SECTIONS_BEFORE: Final = name_number(b"Sections")
_WORDS_BEFORE: Final = (name_number(b"BlockSta"), name_number(b"tes"))
_BLOCK_STATES: Final = (name_number(b"block_st"), name_number(b"ates"))


def chart_chunk(data: Octets, end: int, noted: Room, stack: Room) -> int:  # noqa: PLR0911, PLR0912
    """Walk a chunk from its root to its end.

    Parameters
    ----------
    data, end
        The chunk, and how many bytes it has.
    noted
        Takes up what is met, `CHART_ROOM` numbers; of no meaning unless the answer is `SURE`.
    stack
        Room for the walk itself, `STACK_ROOM` numbers.

    Returns
    -------
    int
        `SURE` where every value is sound, none that matters comes twice or is of an odd kind, and
        nothing that matters stands both in a ``Level`` and beside it.
    """
    noted[MET] = noted[SECTIONS] = noted[ENTITIES] = 0
    if end < 3 or octet(data, 0) != COMPOUND:
        return UNSURE
    at = 3 + length_at(data, 1)
    inside = False
    while True:
        if at >= end:
            return UNSURE
        tag = octet(data, at)
        if tag == END:
            if not inside:
                return SURE
            inside = False
            at += 1
            continue
        if at + 3 > end:
            return UNSURE
        size = length_at(data, at + 1)
        name = at + 3
        at = name + size
        if at > end:
            return UNSURE
        met = noted[MET]
        bit = _meaning_in(data, name, size, met, inside)
        if (met & bit) != 0:
            return UNSURE
        if bit == 0:
            at = skip(data, end, tag, at, stack)
        elif bit == MET_SECTIONS:
            noted[SECTIONS_AT] = at
            at = _chart_sections(data, end, tag, at, noted, stack)
        elif bit == MET_LIST:
            noted[ENTITIES_AT] = at
            noted[MET_BEFORE] = met
            at = _chart_entities(data, end, tag, at, noted, stack)
        elif bit == MET_LEVEL:
            # What was met beside it would be of the other layout.
            if tag != COMPOUND or (met & ~MET_VERSION) != 0:
                return UNSURE
            inside = True
        elif bit == MET_STATUS:
            if tag != STRING or at + 2 > end:
                return UNSURE
            noted[STATUS_AT] = at + 2
            at += 2 + length_at(data, at)
            noted[STATUS_END] = at
        else:
            if not _is_whole(data, end, tag, at):
                return UNSURE
            place, stands = VERSION, VERSION_AT
            if bit != MET_VERSION:
                place, stands = (CX, CX_AT) if bit == MET_CX else (CZ, CZ_AT)
            noted[place] = signed_at(data, at, width_of(tag))
            noted[stands], noted[stands + 1] = at, tag
            at += width_of(tag)
        if at < 0 or at > end:
            return UNSURE
        noted[MET] = met | bit


def _meaning_in(data: Octets, at: int, size: int, met: int, inside: bool) -> int:
    """Return what a name means where it stands: within ``Level``, beside it, or where none is."""
    bit = meaning_at(data, at, size)
    if inside:
        if size == 8:
            return MET_SECTIONS if word_at(data, at, 8) == _SECTIONS_BEFORE else 0
        return 0 if size == 14 else bit
    if size == 12:
        return 0
    beside = (met & MET_LEVEL) != 0 and bit not in (MET_VERSION, MET_LEVEL)
    return 0 if beside else bit


def _is_whole(data: Octets, end: int, tag: int, at: int) -> bool:
    """Return whether a whole number stands somewhere, and not beyond the end."""
    return BYTE <= tag <= LONG and at + width_of(tag) <= end


def _chart_sections(  # noqa: PLR0911, PLR0912, PLR0917
    data: Octets, end: int, tag: int, at: int, noted: Room, stack: Room
) -> int:
    """Note the sections of a list that have blocks, and return where it ends; -1 if not sure."""
    if tag != LIST or at + 5 > end:
        return -1
    count = count_at(data, at + 1)
    if count < 0 or (count > 0 and octet(data, at) != COMPOUND):
        return -1
    at += 5
    for _ in range(count):
        if noted[SECTIONS] >= MOST_SECTIONS:
            return -1
        row = SECTION_ROWS + SECTION_ROW * noted[SECTIONS]
        noted[row + 1] = noted[row + 2] = noted[row + 3] = -1
        noted[row + 4] = 0
        stored, high, within = False, False, False
        while True:
            if at >= end:
                return -1
            tag = octet(data, at)
            if tag == END:
                at += 1
                if not within:
                    break
                within = False
                continue
            if at + 3 > end:
                return -1
            size = length_at(data, at + 1)
            name = at + 3
            start = name + size
            if start > end:
                return -1
            kind = _section_part(data, name, size, tag, within)
            if kind == _STATES:
                within = stored = True
                at = start
                continue
            at = skip(data, end, tag, start, stack)
            if at < 0:
                return -1
            if kind == _HEIGHT:
                noted[row] = signed_at(data, start, width_of(tag))
                high = True
            elif kind == _LISTED:
                noted[row + 1], noted[row + 2] = start, at
            elif kind == _PACKED:
                noted[row + 3], noted[row + 4] = start + 4, (at - start - 4) // 8
            stored = stored or kind > _HEIGHT
        if stored:
            # Where blocks are of no height, the plain walk says so.
            if not high:
                return -1
            noted[SECTIONS] += 1
    return at


# What a value of a section is: nothing that matters, its height, a palette, packed indices, the
# compound that has these two, or the blocks of a version before palettes.
_HEIGHT: Final = 1
_LISTED: Final = 2
_PACKED: Final = 3
_STATES: Final = 4
_NUMBERED: Final = 5


def _section_part(  # noqa: PLR0911
    data: Octets, at: int, size: int, tag: int, within: bool
) -> int:
    """Return what a value of a section, or of its compound of block states, is by name and tag."""
    if within:
        if size == 7 and tag == LIST:
            return _LISTED if word_at(data, at, 7) == _PALETTE else 0
        if size == 4 and tag == LONG_ARRAY:
            return _PACKED if word_at(data, at, 4) == _DATA else 0
        return 0
    if size == 1:
        return _HEIGHT if octet(data, at) == _Y_NAME and BYTE <= tag <= LONG else 0
    if size == 12 and tag == COMPOUND:
        head, tail = word_at(data, at, 8), word_at(data, at + 8, 4)
        return _STATES if head == _BLOCK_STATES[0] and tail == _BLOCK_STATES[1] else 0
    if size == 7 and tag == LIST:
        return _LISTED if word_at(data, at, 7) == _PALETTE_BEFORE else 0
    if size == 11 and tag == LONG_ARRAY:
        head, tail = word_at(data, at, 8), word_at(data, at + 8, 3)
        return _PACKED if head == _WORDS_BEFORE[0] and tail == _WORDS_BEFORE[1] else 0
    if size == 6 and tag == BYTE_ARRAY:
        return _NUMBERED if word_at(data, at, 6) == _BLOCKS else 0
    return 0


def _chart_entities(  # noqa: PLR0917
    data: Octets, end: int, tag: int, at: int, noted: Room, stack: Room
) -> int:
    """Note a list of block entities, and return where it ends; -1 if not sure."""
    if tag != LIST or at + 5 > end:
        return -1
    count = count_at(data, at + 1)
    if not 0 <= count <= MOST_ENTITIES or (count > 0 and octet(data, at) != COMPOUND):
        return -1
    at += 5
    for number in range(count):
        row = ENTITY_ROWS + ENTITY_ROW * number
        at = _chart_entity(data, end, at, row, noted, stack)
        if at < 0:
            return -1
    noted[ENTITIES] = count
    return at


def _chart_entity(  # noqa: PLR0917
    data: Octets, end: int, at: int, row: int, noted: Room, stack: Room
) -> int:
    """Note a block entity in a row of the chart, and return where it ends; -1 if not sure."""
    noted[row] = at
    noted[row + 1] = noted[row + 2] = -1
    # One bit an axis for what is there.
    axes = 0
    while True:
        if at >= end:
            return -1
        tag = octet(data, at)
        if tag == END:
            noted[row + 6] = 1 if axes == 7 else 0
            return at + 1
        if at + 3 > end:
            return -1
        size = length_at(data, at + 1)
        name = at + 3
        start = name + size
        if start > end:
            return -1
        at = skip(data, end, tag, start, stack)
        if at < 0:
            return -1
        if size == 2 and word_at(data, name, 2) == _ID_NAME:
            usable = tag == STRING
            noted[row + 1], noted[row + 2] = (start + 2, at) if usable else (-1, -1)
        elif size == 1 and _X_NAME <= octet(data, name) <= _Z_NAME:
            axis = octet(data, name) - _X_NAME
            axes &= ~(1 << axis)
            if BYTE <= tag <= LONG:
                value = signed_at(data, start, width_of(tag))
                noted[row + 3 + axis] = value
                if _LEAST <= value <= _MOST:
                    axes |= 1 << axis
