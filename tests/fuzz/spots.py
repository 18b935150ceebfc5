"""Where the tags, names, lengths and numbers of a tree of NBT stand, as far as it makes sense."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

_WIDTHS: Final = {1: 1, 2: 2, 3: 4, 4: 8, 5: 4, 6: 8}
_ARRAYS: Final = {7: 1, 11: 4, 12: 8}
_MOST: Final = 20_000


@dataclass(frozen=True)
class Spots:
    """Places in a tree.

    Parameters
    ----------
    places
        Offset and width of numbers; the width is below 0 where a name stands, with its length.
    values
        Begin and end of the named values of compounds.
    """

    places: list[tuple[int, int]]
    values: list[tuple[int, int]]


def find_spots(data: bytes) -> Spots:
    """Return the places in a tree, up to where it ceases to make sense.

    It shares no code with what reads saves.
    """
    spots = Spots([], [])
    # Each is [element tag, how many are left, begin of the named value]; 0 for a compound.
    opened: list[list[int]] = []
    at = 0
    try:
        tag, at, begin = _named(data, at, spots)
        at = _value(data, tag, at, begin=begin, opened=opened, spots=spots)
        while opened and len(spots.places) < _MOST:
            element, left, begin = opened[-1]
            if element == 0:
                if data[at] == 0:
                    at += 1
                    opened.pop()
                    if begin >= 0:
                        spots.values.append((begin, at))
                    continue
                tag, at, inner = _named(data, at, spots)
                at = _value(data, tag, at, begin=inner, opened=opened, spots=spots)
            elif left:
                opened[-1][1] -= 1
                at = _value(data, element, at, begin=-1, opened=opened, spots=spots)
            else:
                opened.pop()
                if begin >= 0:
                    spots.values.append((begin, at))
    except (IndexError, KeyError):
        pass
    return spots


def _named(data: bytes, at: int, spots: Spots) -> tuple[int, int, int]:
    length = data[at + 1] << 8 | data[at + 2]
    spots.places.extend([(at, 1), (at + 1, -2 - length), (at + 1, 2)])
    return data[at], at + 3 + length, at


def _value(
    data: bytes, tag: int, at: int, *, begin: int, opened: list[list[int]], spots: Spots
) -> int:
    if at > len(data):
        raise IndexError
    if tag == 10:
        opened.append([0, 0, begin])
        return at
    if tag == 9:
        spots.places.extend([(at, 1), (at + 1, 4)])
        count = int.from_bytes(data[at + 1 : at + 5], "big", signed=True)
        if data[at] in _WIDTHS:
            at += 5 + _WIDTHS[data[at]] * max(0, count)
        else:
            opened.append([data[at], count, begin] if count > 0 else [99, 0, begin])
            return at + 5
    elif tag in _ARRAYS:
        spots.places.append((at, 4))
        at += 4 + _ARRAYS[tag] * int.from_bytes(data[at : at + 4], "big")
    elif tag == 8:
        spots.places.append((at, 2))
        at += 2 + (data[at] << 8 | data[at + 1])
    else:
        spots.places.append((at, _WIDTHS[tag]))
        at += _WIDTHS[tag]
    if begin >= 0:
        spots.values.append((begin, at))
    return at
