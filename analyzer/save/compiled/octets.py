"""What all compiled walks are made of: reading numbers and names, and passing over values.

Plain functions of numbers and of arrays of numbers, which mean the same to the interpreter and to
the compiler. They keep to three rules, so that no chunk can lead them astray: what they read lies
before `end`, which is checked before each reading; they write nowhere but into the arrays they are
given, at places that are checked as well; and whatever is not plain and sound they leave alone:
then the answer is `UNSURE`, and `analyzer.save.nbt.walker` decides.
"""

from __future__ import annotations

from collections.abc import MutableSequence, Sequence
from typing import Final, TypeAlias

from analyzer.save.nbt.walker import (
    BYTE,
    BYTE_ARRAY,
    COMPOUND,
    DOUBLE,
    END,
    INT_ARRAY,
    LIST,
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

# Bytes of a value of tag BYTE to DOUBLE, and of an element of an array, four bits a tag from the
# lowest on: to look into a tuple could fail, and then the compiled code would need the interpreter.
_WIDTHS: Final = 0x8400018484210
_NAMED: Final = -1


def skip(data: Octets, end: int, tag: int, at: int, stack: Room) -> int:  # noqa: PLR0911, PLR0912
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
            at += 3 + length_at(data, at + 1)
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
            at += 2 + length_at(data, at)
        elif tag == COMPOUND:
            if depth >= DEPTH:
                return -1
            stack[2 * depth], stack[2 * depth + 1] = element, left
            depth += 1
            element = _NAMED
        elif BYTE <= tag <= DOUBLE:
            at += width_of(tag)
        elif tag == LIST:
            if at + 5 > end or depth >= DEPTH:
                return -1
            inner = octet(data, at)
            count = count_at(data, at + 1)
            if count < 0 or (count > 0 and not END < inner <= LONG_ARRAY):
                return -1
            at += 5
            if count > 0 and inner <= DOUBLE:
                at += width_of(inner) * count
            elif count > 0:
                stack[2 * depth], stack[2 * depth + 1] = element, left
                depth += 1
                element, left = inner, count
        elif tag in (BYTE_ARRAY, INT_ARRAY, LONG_ARRAY):
            if at + 4 > end:
                return -1
            count = count_at(data, at)
            if count < 0:
                return -1
            at += 4 + width_of(tag) * count
        else:
            return -1
        if at > end:
            return -1


def octet(data: Octets, at: int) -> int:
    """Return a byte as a number of the kind that all others are; the compiler has its own way."""
    return data[at]


def width_of(tag: int) -> int:
    """Return the bytes of a value of tag `BYTE` to `DOUBLE`, or of an element of an array."""
    return _WIDTHS >> 4 * tag & 15


def length_at(data: Octets, at: int) -> int:
    """Return the length of a name or text, two bytes."""
    return octet(data, at) << 8 | octet(data, at + 1)


def count_at(data: Octets, at: int) -> int:
    """Return the length of a list or array, four bytes; a negative one is none."""
    return signed_at(data, at, 4)


def word_at(data: Octets, at: int, size: int) -> int:
    """Return up to eight bytes as one number; names have no byte above 127 that matters."""
    word = 0
    for number in range(size):
        word = word << 8 | octet(data, at + number)
    return word


def signed_at(data: Octets, at: int, width: int) -> int:
    """Return a whole number of so many bytes."""
    value = octet(data, at)
    if value > 127:
        value -= 256
    for number in range(1, width):
        value = value << 8 | octet(data, at + number)
    return value


def name_number(name: bytes) -> int:
    """Return what `word_at` gives for a name, or for eight bytes of it."""
    return int.from_bytes(name, "big")
