"""The one parser that sees a save's bytes: a bounded walk over NBT.

NBT (the host game's "named binary tag" format, see docs/save-format.md) is a tree of numbers,
text, arrays, lists and compounds without a length for the tree as a whole: to find a value one
must pass over all that stand before it. The walk keeps nothing that nobody asked for, uses no
recursion, and never trusts a length: what it reads lies inside the buffer or it stops.
"""

from __future__ import annotations

from collections.abc import Iterator
from struct import Struct
from struct import error as StructError  # noqa: N812 - struct names its exception in lower case
from typing import Final, TypeAlias

from analyzer.base.limits import Limits
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.plain_compounds import PLAIN_DEPTH, pass_compounds

END: Final = 0
BYTE: Final = 1
SHORT: Final = 2
INT: Final = 3
LONG: Final = 4
FLOAT: Final = 5
DOUBLE: Final = 6
BYTE_ARRAY: Final = 7
STRING: Final = 8
LIST: Final = 9
COMPOUND: Final = 10
INT_ARRAY: Final = 11
LONG_ARRAY: Final = 12

#: Bytes of one element by array tag.
ARRAY_WIDTHS: Final = {BYTE_ARRAY: 1, INT_ARRAY: 4, LONG_ARRAY: 8}

#: Tag number that an element of an array has, by array tag.
ARRAY_ELEMENTS: Final = {BYTE_ARRAY: BYTE, INT_ARRAY: INT, LONG_ARRAY: LONG}

# Bytes of a value by tag; 0 where they vary. As long as a byte has values, so that a false tag
# cannot be mistaken for the end of the buffer.
_WIDTHS: Final = (0, 1, 2, 4, 8, 4, 8) + (0,) * 249

_NUMBERS: Final = tuple(Struct(f">{code}").unpack_from for code in "bbhiqfd")
_INT: Final = Struct(">i").unpack_from

#: A value of a compound: its name in modified UTF-8, its tag, where it stands, where it ends, and
#: its own fields where they were asked for. A plain tuple, since there are so many.
Field: TypeAlias = tuple[bytes, int, int, int, "list[Field] | None"]

# Stands for "named values until an end tag" where a list has its element's tag.
_NAMED: Final = -1


def number_bytes(value: int, tag: int) -> bytes | None:
    """Return how an integer of tag `BYTE` to `LONG` is stored; None where it does not fit.

    >>> number_bytes(-2, INT).hex(" ")
    'ff ff ff fe'
    """
    width = _WIDTHS[tag]
    if -(1 << 8 * width - 1) <= value < 1 << 8 * width - 1:
        return value.to_bytes(width, "big", signed=True)
    return None


class WalkError(Exception):
    """A walk that cannot go on; `offset` is where, in bytes of the buffer."""

    def __init__(self, what: str, offset: int) -> None:
        super().__init__(f"{what} at byte {offset:,}")
        self.what = what
        self.offset = offset


class TruncatedError(WalkError):
    """The buffer ends within a value: a longer one might be read."""

    def __init__(self, offset: int) -> None:
        super().__init__("the data ends too soon", offset)


class MalformedError(WalkError):
    """No longer buffer could make sense of what stands there."""


class Cursor:
    """A place in a buffer of NBT, and the steps that can be taken from it.

    Parameters
    ----------
    data
        The buffer: a whole tree, or the beginning of one.
    limits
        Bounds on the number of tags and on their nesting.
    at
        Where to begin, in bytes.
    """

    __slots__ = ("_room", "_tags_left", "at", "data")

    def __init__(self, data: bytes, limits: Limits, at: int = 0) -> None:
        self.data = data
        self.at = at
        self._room = limits.depth
        self._tags_left = limits.tags

    def root(self) -> Iterator[tuple[bytes, int]]:
        """Enter the tree's root, a compound with a name, and iterate as `compound` does."""
        data, at = self.data, self.at
        if len(data) < at + 3:
            raise TruncatedError(len(data))
        if data[at] != COMPOUND:
            raise self._malformed(f"the root has tag {data[at]}, not a compound's", at)
        self.at = at + 3 + (data[at + 1] << 8 | data[at + 2])
        return self.compound()

    def compound(self) -> Iterator[tuple[bytes, int]]:
        """Iterate over a compound's values as (name in modified UTF-8, tag).

        While a pair is in hand the cursor stands on its value. A value that was not read is
        passed over; one that was begun must be read to its end.

        Raises
        ------
        TruncatedError
            Where the buffer ends before the compound does.
        MalformedError
            For an unknown tag, or more tags or deeper nesting than the limits allow.
        """
        self._open(self.at)
        data, end, at = self.data, len(self.data), self.at
        while True:
            try:
                tag = data[at]
                if tag == END:
                    break
                start = at + 3 + (data[at + 1] << 8 | data[at + 2])
            except IndexError:
                raise TruncatedError(end) from None
            if start > end:
                raise TruncatedError(end)
            self._tags_left -= 1
            if self._tags_left < 0:
                raise self._malformed("more tags than the limit", at)
            self.at = start
            yield data[at + 3 : start], tag
            if self.at == start:
                self.skip(tag)
            at = self.at
        self._room += 1
        self.at = at + 1

    def fields(self, within: bytes | None = None) -> list[Field]:
        """Read where the values of a compound stand, in its order, and pass over it.

        Parameters
        ----------
        within
            Name of compounds among them whose own fields are read as well.

        Raises
        ------
        TruncatedError, MalformedError
            As `compound`, which takes twice the time.
        """
        self._open(self.at)
        data, at = self.data, self.at
        found = []
        try:
            while tag := data[at]:
                start = at + 3 + (data[at + 1] << 8 | data[at + 2])
                self._tags_left -= 1
                if self._tags_left < 0:
                    raise self._malformed("more tags than the limit", at)
                name = data[at + 3 : start]
                inner = None
                at = start + _WIDTHS[tag]
                if at == start:
                    self.at = start
                    if name == within and tag == COMPOUND:
                        inner = self.fields()
                    else:
                        self._skip_varying(tag)
                    at = self.at
                found.append((name, tag, start, at, inner))
        except (IndexError, StructError):
            raise TruncatedError(len(data)) from None
        self._room += 1
        self.at = at + 1
        return found

    def ahead(self) -> Cursor:
        """Return another cursor at the same place, within what is left of the bounds."""
        other = object.__new__(Cursor)
        other.data, other.at = self.data, self.at
        other._room, other._tags_left = self._room, self._tags_left
        return other

    def follow(self, other: Cursor) -> None:
        """Go to where a cursor from `ahead` has come, having passed what it has passed."""
        self.at, self._tags_left = other.at, other._tags_left

    def elements(self) -> Iterator[int]:
        """Iterate over a list's elements as their tag; otherwise as `compound` does."""
        self._open(self.at)
        element, count = self.list_header()
        for _ in range(count):
            self._tags_left -= 1
            if self._tags_left < 0:
                raise self._malformed("more tags than the limit", self.at)
            start = self.at
            yield element
            if self.at == start:
                self.skip(element)
        self._room += 1

    def list_header(self) -> tuple[int, int]:
        """Read a list's element tag and length; the cursor then stands on its first element."""
        at = self.at
        count = self._count(at + 1)
        element = self.data[at]
        if count and not END < element <= LONG_ARRAY:
            raise self._malformed(f"a list of {count:,} elements of tag {element}", at)
        self.at = at + 5
        return element, count

    def array(self, tag: int) -> tuple[int, int]:
        """Pass over an array and return where its first element stands, and its length."""
        count = self._count(self.at)
        start = self.at + 4
        self.at = start + ARRAY_WIDTHS[tag] * count
        if self.at > len(self.data):
            raise TruncatedError(len(self.data))
        return start, count

    def number(self, tag: int) -> int | float:
        """Read a number of tag `BYTE` to `DOUBLE`."""
        try:
            (value,) = _NUMBERS[tag](self.data, self.at)
        except StructError:
            raise TruncatedError(len(self.data)) from None
        self.at += _WIDTHS[tag]
        return value  # type: ignore[no-any-return]

    def raw_text(self) -> bytes:
        """Read a string as its bytes of modified UTF-8."""
        data, at = self.data, self.at
        if at + 2 > len(data):
            raise TruncatedError(len(data))
        end = at + 2 + (data[at] << 8 | data[at + 1])
        if end > len(data):
            raise TruncatedError(len(data))
        self.at = end
        return data[at + 2 : end]

    def text(self) -> str:
        """Read a string."""
        return decode_text(self.raw_text())

    def skip(self, tag: int) -> None:
        """Pass over one value of that tag, whatever it holds.

        Raises
        ------
        TruncatedError, MalformedError
            As `compound`.
        """
        width = _WIDTHS[tag]
        if width:
            self.at += width
        else:
            try:
                self._skip_varying(tag)
            except (IndexError, StructError):
                raise TruncatedError(len(self.data)) from None
        if self.at > len(self.data):
            raise TruncatedError(len(self.data))

    # One loop without calls, since a call costs more than what most turns of it do.
    def _skip_varying(self, tag: int) -> None:  # noqa: PLR0912, PLR0915
        data, at, tags_left, room = self.data, self.at, self._tags_left, self._room
        # The value itself is looked at as a list of one, within which everything else lies.
        element, left = tag, 1
        within: list[tuple[int, int]] = []
        while True:
            if element == _NAMED:
                tag = data[at]
                if tag == END:
                    at += 1
                    element, left = within.pop()
                    continue
                at += 3 + (data[at + 1] << 8 | data[at + 2])
            elif left:
                left -= 1
                tag = element
            elif within:
                element, left = within.pop()
                continue
            else:
                break
            tags_left -= 1
            if tags_left < 0:
                raise self._malformed("more tags than the limit", at)
            width = _WIDTHS[tag]
            if width:
                at += width
            elif tag == STRING:
                at += 2 + (data[at] << 8 | data[at + 1])
            elif tag == COMPOUND:
                if len(within) >= room:
                    raise self._malformed("nesting deeper than the limit", at)
                within.append((element, left))
                element = _NAMED
            elif tag == LIST:
                if len(within) >= room:
                    raise self._malformed("nesting deeper than the limit", at)
                inner = data[at]
                (count,) = _INT(data, at + 1)
                if count < 0 or (count and not END < inner <= LONG_ARRAY):
                    raise self._malformed(f"a list of {count:,} elements of tag {inner}", at)
                at += 5
                width = _WIDTHS[inner]
                if width:
                    at += width * count
                elif count:
                    # As many tags as there are bytes can never be too many.
                    if (
                        inner == COMPOUND
                        and tags_left >= len(data)
                        and len(within) + PLAIN_DEPTH < room
                    ):
                        at, count = pass_compounds(data, at, count)
                    within.append((element, left))
                    element, left = inner, count
            elif tag in ARRAY_WIDTHS:
                (count,) = _INT(data, at)
                if count < 0:
                    raise self._malformed(f"an array of {count:,} elements", at)
                at += 4 + ARRAY_WIDTHS[tag] * count
            else:
                raise self._malformed(f"unknown tag {tag}", at)
        self.at = at
        self._tags_left = tags_left

    def _malformed(self, what: str, at: int) -> MalformedError:
        # The walk may have stepped past the end before it looked.
        return MalformedError(what, min(at, len(self.data)))

    def _open(self, at: int) -> None:
        self._room -= 1
        if self._room < 0:
            raise self._malformed("nesting deeper than the limit", at)

    def _count(self, at: int) -> int:
        try:
            (count,) = _INT(self.data, at)
        except StructError:
            raise TruncatedError(len(self.data)) from None
        if count < 0:
            raise self._malformed(f"a length of {count:,}", at)
        return int(count)
