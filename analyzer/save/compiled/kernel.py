"""What is compiled: a walk over one inflated chunk up to its block entities, and a search.

It keeps to the rules of `analyzer.save.compiled.octets`.
"""

from __future__ import annotations

from typing import Final

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
from analyzer.save.nbt.walker import BYTE, COMPOUND, END, LIST, LONG, STRING

#: Places in what a walk notes. `MET` is a sum of the bits below; `UNNAMED` is how many entries have
#: no id. After `KINDS`, the number of different ids, comes for each where it stands, where it ends,
#: and how many entries have it.
MET: Final = 0
VERSION: Final = 1
CX: Final = 2
CZ: Final = 3
STATUS_AT: Final = 4
STATUS_END: Final = 5
UNNAMED: Final = 6
KINDS: Final = 7
IDS: Final = 8

MET_VERSION: Final = 1
MET_CX: Final = 2
MET_CZ: Final = 4
MET_STATUS: Final = 8
MET_SECTIONS: Final = 16
MET_LEVEL: Final = 32
MET_LIST: Final = 64

#: Most different ids of a list, and numbers of room for all that is noted.
MOST_KINDS: Final = 32
NOTED_ROOM: Final = IDS + 3 * MOST_KINDS

# Names as numbers: the first eight bytes, and those after them.
_ID: Final = name_number(b"id")
_X_POS: Final = name_number(b"xPos")
_Z_POS: Final = name_number(b"zPos")
_LEVEL: Final = name_number(b"Level")
_STATUS: Final = name_number(b"Status")
_SECTIONS: Final = name_number(b"sections")
_DATA_VERSION: Final = (name_number(b"DataVers"), name_number(b"ion"))
_ENTITIES: Final = (name_number(b"block_en"), name_number(b"tities"))
_ENTITIES_IN_LEVEL: Final = (name_number(b"TileEnti"), name_number(b"ties"))


def walk_chunk(data: Octets, end: int, noted: Room, stack: Room) -> int:  # noqa: PLR0911, PLR0912
    """Walk from a chunk's root to the end of its list of block entities.

    Parameters
    ----------
    data, end
        The chunk, and how many bytes it has.
    noted
        Takes up what is met, `NOTED_ROOM` numbers; of no meaning unless the answer is `SURE`.
    stack
        Room for the walk itself, `STACK_ROOM` numbers.

    Returns
    -------
    int
        `SURE` where every value up to the end of the list is sound, none that matters comes twice
        or is of an odd kind, and the data version comes before a ``Level``.
    """
    noted[MET] = 0
    if end < 3 or octet(data, 0) != COMPOUND:
        return UNSURE
    at = 3 + length_at(data, 1)
    while True:
        if at + 3 > end or octet(data, at) == END:
            return UNSURE
        tag = octet(data, at)
        size = length_at(data, at + 1)
        name = at + 3
        at = name + size
        if at > end:
            return UNSURE
        met = noted[MET]
        bit = meaning_at(data, name, size)
        if bit == MET_LIST:
            if (size == 12) != ((met & MET_LEVEL) > 0):
                return UNSURE
            return _note_entries(data, end, tag, at, noted, stack)
        if (met & bit) != 0:
            return UNSURE
        if bit in (0, MET_SECTIONS):
            at = skip(data, end, tag, at, stack)
            if at < 0:
                return UNSURE
        elif bit == MET_STATUS:
            if tag != STRING or at + 2 > end:
                return UNSURE
            noted[STATUS_AT] = at + 2
            at += 2 + length_at(data, at)
            noted[STATUS_END] = at
        elif bit == MET_LEVEL:
            # What was met beside it would be of the other layout.
            if tag != COMPOUND or met != MET_VERSION:
                return UNSURE
        else:
            if not BYTE <= tag <= LONG:
                return UNSURE
            width = width_of(tag)
            if at + width > end:
                return UNSURE
            value = signed_at(data, at, width)
            if bit == MET_VERSION:
                noted[VERSION] = value
            elif bit == MET_CX:
                noted[CX] = value
            else:
                noted[CZ] = value
            at += width
        if at > end:
            return UNSURE
        noted[MET] = met | bit


def meaning_at(data: Octets, at: int, size: int) -> int:  # noqa: PLR0911
    """Return what a name means in either layout: one of the `MET_` bits, or 0 for nothing."""
    if size == 4:
        head = word_at(data, at, 4)
        return MET_CX if head == _X_POS else MET_CZ if head == _Z_POS else 0
    if size == 5:
        return MET_LEVEL if word_at(data, at, 5) == _LEVEL else 0
    if size == 6:
        return MET_STATUS if word_at(data, at, 6) == _STATUS else 0
    if size == 8:
        return MET_SECTIONS if word_at(data, at, 8) == _SECTIONS else 0
    if size not in (11, 12, 14):
        return 0
    head, tail = word_at(data, at, 8), word_at(data, at + 8, size - 8)
    if size == 11:
        return MET_VERSION if head == _DATA_VERSION[0] and tail == _DATA_VERSION[1] else 0
    if size == 14:
        return MET_LIST if head == _ENTITIES[0] and tail == _ENTITIES[1] else 0
    in_level = head == _ENTITIES_IN_LEVEL[0] and tail == _ENTITIES_IN_LEVEL[1]
    return MET_LIST if in_level else 0


def _note_entries(  # noqa: PLR0911, PLR0917
    data: Octets, end: int, tag: int, at: int, noted: Room, stack: Room
) -> int:
    """Note the ids of a list of block entities."""
    if tag != LIST or at + 5 > end:
        return UNSURE
    count = count_at(data, at + 1)
    if count < 0 or (count > 0 and octet(data, at) != COMPOUND):
        return UNSURE
    at += 5
    noted[UNNAMED] = noted[KINDS] = 0
    for _ in range(count):
        id_at, id_end = -1, -1
        while True:
            if at >= end:
                return UNSURE
            tag = octet(data, at)
            if tag == END:
                at += 1
                break
            if at + 3 > end:
                return UNSURE
            size = length_at(data, at + 1)
            name = at + 3
            start = name + size
            if start > end:
                return UNSURE
            at = skip(data, end, tag, start, stack)
            if at < 0:
                return UNSURE
            if size == 2 and word_at(data, name, 2) == _ID:
                id_at, id_end = (start + 2, at) if tag == STRING else (-1, -1)
        if id_at < 0:
            noted[UNNAMED] += 1
        elif not _note_id(data, id_at, id_end, noted):
            return UNSURE
    return SURE


def _note_id(data: Octets, at: int, end: int, noted: Room) -> bool:
    """Count an id; False if there are too many different ones."""
    kinds = noted[KINDS]
    for number in range(kinds):
        place = IDS + 3 * number
        start = noted[place]
        if noted[place + 1] - start == end - at:
            same = True
            for step in range(end - at):
                if octet(data, start + step) != octet(data, at + step):
                    same = False
                    break
            if same:
                noted[place + 2] += 1
                return True
    if kinds >= MOST_KINDS:
        return False
    place = IDS + 3 * kinds
    noted[place], noted[place + 1], noted[place + 2] = at, end, 1
    noted[KINDS] = kinds + 1
    return True


def may_hold(data: Octets, end: int, mark: Octets, size: int) -> int:
    """Return whether three bytes of a mark stand somewhere as in it; `UNSURE` says that none does.

    Parameters
    ----------
    data, end
        The chunk, and how many bytes it has.
    mark, size
        What is looked for, and how many bytes it has: at least one.
    """
    one, two, three = size // 3, 2 * size // 3, size - 1
    found = False
    # Without a way out, so that many places are looked at in one instruction.
    for at in range(end - three):
        found = found | (
            (data[at + one] == mark[one])
            & (data[at + two] == mark[two])
            & (data[at + three] == mark[three])
        )
    return SURE if found else UNSURE
