"""What is compiled: a walk over one inflated chunk up to its block entities, and a search.

Plain functions of numbers and of arrays of numbers, which mean the same to the interpreter and to
the compiler. They keep to three rules, so that no chunk can lead them astray: what they read lies
before `end`, which is checked before each reading; they write nowhere but into the arrays they are
given, at places that are checked as well; and whatever is not plain and sound they leave alone:
then the answer is `UNSURE`, and `analyzer.save.walker` decides.
"""

from __future__ import annotations

from collections.abc import MutableSequence, Sequence
from typing import Final, TypeAlias

from analyzer.save.walker import (
    BYTE,
    BYTE_ARRAY,
    COMPOUND,
    DOUBLE,
    END,
    INT_ARRAY,
    LIST,
    LONG,
    LONG_ARRAY,
    STRING,
)

#: A buffer to be read, and room for numbers to be written.
Octets: TypeAlias = Sequence[int]
Room: TypeAlias = MutableSequence[int]

#: Answers: nothing is known; what was noted is all there is to know.
UNSURE: Final = 0
SURE: Final = 1

#: How many containers may be open at once within a value that is passed over.
DEPTH: Final = 48
#: Numbers of room to keep them.
STACK_ROOM: Final = 2 * DEPTH

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

#: Most different ids of a list, and numbers of room for all that is noted.
MOST_KINDS: Final = 32
NOTED_ROOM: Final = IDS + 3 * MOST_KINDS

# Bytes of a value of tag BYTE to DOUBLE, and of an element of an array, four bits a tag from the
# lowest on: to look into a tuple could fail, and then the compiled code would need the interpreter.
_WIDTHS: Final = 0x8400018484210
_NAMED: Final = -1


def _number(name: bytes) -> int:
    return int.from_bytes(name, "big")


# Names as numbers: the first eight bytes, and those after them.
_ID: Final = _number(b"id")
_X_POS: Final = _number(b"xPos")
_Z_POS: Final = _number(b"zPos")
_LEVEL: Final = _number(b"Level")
_STATUS: Final = _number(b"Status")
_SECTIONS: Final = _number(b"sections")
_DATA_VERSION: Final = (_number(b"DataVers"), _number(b"ion"))
_ENTITIES: Final = (_number(b"block_en"), _number(b"tities"))
_ENTITIES_IN_LEVEL: Final = (_number(b"TileEnti"), _number(b"ties"))


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
    at = 3 + _length(data, 1)
    while True:
        if at + 3 > end or octet(data, at) == END:
            return UNSURE
        tag = octet(data, at)
        size = _length(data, at + 1)
        name = at + 3
        at = name + size
        if at > end:
            return UNSURE
        met = noted[MET]
        bit = _bit(data, name, size)
        if bit == _LIST_BIT:
            if (size == 12) != ((met & MET_LEVEL) > 0):
                return UNSURE
            return _note_entries(data, end, tag, at, noted, stack)
        if (met & bit) != 0:
            return UNSURE
        if bit in (0, MET_SECTIONS):
            at = _skip(data, end, tag, at, stack)
            if at < 0:
                return UNSURE
        elif bit == MET_STATUS:
            if tag != STRING or at + 2 > end:
                return UNSURE
            noted[STATUS_AT] = at + 2
            at += 2 + _length(data, at)
            noted[STATUS_END] = at
        elif bit == MET_LEVEL:
            # What was met beside it would be of the other layout.
            if tag != COMPOUND or met != MET_VERSION:
                return UNSURE
        else:
            if not BYTE <= tag <= LONG:
                return UNSURE
            width = _width(tag)
            if at + width > end:
                return UNSURE
            value = _signed(data, at, width)
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


_LIST_BIT: Final = 64


def _bit(data: Octets, at: int, size: int) -> int:  # noqa: PLR0911
    """Return what a name means: one of the `MET_` bits, the list's own, or 0 for none."""
    if size == 4:
        head = _word(data, at, 4)
        return MET_CX if head == _X_POS else MET_CZ if head == _Z_POS else 0
    if size == 5:
        return MET_LEVEL if _word(data, at, 5) == _LEVEL else 0
    if size == 6:
        return MET_STATUS if _word(data, at, 6) == _STATUS else 0
    if size == 8:
        return MET_SECTIONS if _word(data, at, 8) == _SECTIONS else 0
    if size not in (11, 12, 14):
        return 0
    head, tail = _word(data, at, 8), _word(data, at + 8, size - 8)
    if size == 11:
        return MET_VERSION if head == _DATA_VERSION[0] and tail == _DATA_VERSION[1] else 0
    if size == 14:
        return _LIST_BIT if head == _ENTITIES[0] and tail == _ENTITIES[1] else 0
    in_level = head == _ENTITIES_IN_LEVEL[0] and tail == _ENTITIES_IN_LEVEL[1]
    return _LIST_BIT if in_level else 0


def _note_entries(  # noqa: PLR0911, PLR0917
    data: Octets, end: int, tag: int, at: int, noted: Room, stack: Room
) -> int:
    """Note the ids of a list of block entities."""
    if tag != LIST or at + 5 > end:
        return UNSURE
    count = _count(data, at + 1)
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
            size = _length(data, at + 1)
            name = at + 3
            start = name + size
            if start > end:
                return UNSURE
            at = _skip(data, end, tag, start, stack)
            if at < 0:
                return UNSURE
            if size == 2 and _word(data, name, 2) == _ID:
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


def _skip(data: Octets, end: int, tag: int, at: int, stack: Room) -> int:  # noqa: PLR0911, PLR0912
    """Return where the value of a tag ends that stands somewhere; -1 if not sure."""
    # The value itself is looked at as a list of one, within which everything else lies.
    element, left, depth = tag, 1, 0
    while True:
        if element == _NAMED:
            if at >= end:
                return -1
            tag = octet(data, at)
            if tag == END:
                at += 1
                depth -= 1
                element, left = stack[2 * depth], stack[2 * depth + 1]
                continue
            if at + 3 > end:
                return -1
            at += 3 + _length(data, at + 1)
        elif left > 0:
            left -= 1
            tag = element
        elif depth > 0:
            depth -= 1
            element, left = stack[2 * depth], stack[2 * depth + 1]
            continue
        else:
            return at
        if tag == STRING:
            if at + 2 > end:
                return -1
            at += 2 + _length(data, at)
        elif tag == COMPOUND:
            if depth >= DEPTH:
                return -1
            stack[2 * depth], stack[2 * depth + 1] = element, left
            depth += 1
            element = _NAMED
        elif BYTE <= tag <= DOUBLE:
            at += _width(tag)
        elif tag == LIST:
            if at + 5 > end or depth >= DEPTH:
                return -1
            inner = octet(data, at)
            count = _count(data, at + 1)
            if count < 0 or (count > 0 and not END < inner <= LONG_ARRAY):
                return -1
            at += 5
            if count > 0 and inner <= DOUBLE:
                at += _width(inner) * count
            elif count > 0:
                stack[2 * depth], stack[2 * depth + 1] = element, left
                depth += 1
                element, left = inner, count
        elif tag in (BYTE_ARRAY, INT_ARRAY, LONG_ARRAY):
            if at + 4 > end:
                return -1
            count = _count(data, at)
            if count < 0:
                return -1
            at += 4 + _width(tag) * count
        else:
            return -1
        if at > end:
            return -1


def octet(data: Octets, at: int) -> int:
    """Return a byte as a number of the kind that all others are; the compiler has its own way."""
    return data[at]


def _width(tag: int) -> int:
    return _WIDTHS >> 4 * tag & 15


def _length(data: Octets, at: int) -> int:
    return octet(data, at) << 8 | octet(data, at + 1)


def _count(data: Octets, at: int) -> int:
    return _signed(data, at, 4)


def _word(data: Octets, at: int, size: int) -> int:
    """Return up to eight bytes as one number; names have no byte above 127 that matters."""
    word = 0
    for number in range(size):
        word = word << 8 | octet(data, at + number)
    return word


def _signed(data: Octets, at: int, width: int) -> int:
    value = octet(data, at)
    if value > 127:
        value -= 256
    for number in range(1, width):
        value = value << 8 | octet(data, at + number)
    return value


def may_hold(data: Octets, end: int, mark: Octets, size: int) -> int:
    """Return whether four bytes of a mark stand somewhere as in it; `UNSURE` says that none does.

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
            (data[at] == mark[0])
            & (data[at + one] == mark[one])
            & (data[at + two] == mark[two])
            & (data[at + three] == mark[three])
        )
    return SURE if found else UNSURE
