"""Changes as they are written on a command line, read into edits."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final

import numpy as np

from analyzer.advice.advice import (
    Alongside,
    Cut,
    Edit,
    Flip,
    Put,
    Remove,
    SetActive,
    SetNumber,
    SetProperty,
    Spot,
)
from analyzer.advice.edits import joint_of
from analyzer.base.block import parse_block_state
from analyzer.base.errors import UsageError
from analyzer.base.place import Block
from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit

#: The dimension that a position is taken to be in where nothing else tells.
_FIRST: Final = "minecraft:overworld"
_LARGEST: Final = 2**31 - 1
#: Numbers that can be stored, by the names that changes give them.
FIELDS: Final[Mapping[str, Field]] = MappingProxyType(
    {
        field.name.lower(): field
        for field in Field
        if field not in (Field.RECORDED_RPM, Field.PARTNER)
    }
)
#: How each change is written.
FORMS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "remove": "remove X Y Z",
        "put": "put X Y Z BLOCK[property=value,...]{number=value,...}",
        "flip": "flip X Y Z",
        "set": "set X Y Z property=value,...",
        "store": "store X Y Z number=value,...",
        "start": "start X Y Z",
        "stop": "stop X Y Z",
        "alongside": "alongside X Y Z COUNT",
        "cut": "cut X Y Z X Y Z",
    }
)


def parse_changes(texts: Sequence[str], audit: Audit, dimension: str | None) -> tuple[Edit, ...]:
    """Read changes.

    Parameters
    ----------
    texts
        One change each, as `FORMS` shows; any may end with ``in DIMENSION``.
    audit
        The audit of the save.
    dimension
        Where the positions are that say nothing else; None: in the overworld, or else in the only
        dimension of the save.

    Raises
    ------
    UsageError
        With what is wrong, and how it is written.
    """
    return tuple(edit for text in texts for edit in _Change(text, audit, dimension).edits())


class _Change:
    def __init__(self, text: str, audit: Audit, dimension: str | None) -> None:
        self._text, self._audit = text, audit
        words = text.split()
        if len(words) > 2 and words[-2] == "in":
            dimension = words.pop()
            words.pop()
        if not words or words[0] not in FORMS:
            said = f"{words[0]!r} is no change" if words else "an empty change"
            raise UsageError(f"{said}. A change begins with one of {', '.join(FORMS)}.")
        self._verb, self._words = words[0], words[1:]
        self._dimension = dimension or self._default()
        if self._dimension not in audit.parts.dimensions:
            raise self._wrong(f"no dimension {self._dimension} was read")

    def edits(self) -> Iterator[Edit]:
        """Yield what the change comes to."""
        makers: dict[str, Callable[[Spot, list[str]], Iterator[Edit]]] = {
            "remove": self._remove,
            "put": self._put,
            "flip": self._flip,
            "set": self._set,
            "store": self._store,
            "start": self._switch,
            "stop": self._switch,
            "alongside": self._alongside,
            "cut": self._cut,
        }
        spot = Spot(self._dimension, self._block(self._words[:3]))
        return makers[self._verb](spot, self._words[3:])

    def _remove(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        self._nothing_more(rest)
        yield Remove(spot)

    def _flip(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        self._nothing_more(rest)
        yield Flip(spot)

    def _switch(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        self._nothing_more(rest)
        yield SetActive(spot, self._verb == "start")

    def _put(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        match = re.fullmatch(r"([^{}]+)(?:\{([^{}]*)\})?", "".join(rest))
        if match is None:
            raise self._wrong("a block is needed")
        try:
            state = parse_block_state(match[1])
        except ValueError as error:
            raise self._wrong(str(error)) from error
        numbers = tuple(self._numbers(match[2] or ""))
        yield Put(spot, state, numbers)

    def _set(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        for name, value in self._pairs("".join(rest)):
            yield SetProperty(spot, name, value)

    def _store(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        for field, value in self._numbers("".join(rest), some=True):
            yield SetNumber(spot, field, value)

    def _alongside(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        if len(rest) != 1 or not rest[0].isdecimal() or not 1 <= len(rest[0]) <= 6:
            raise self._wrong("a count of movers is needed")
        yield Alongside(spot, int(rest[0]))

    def _cut(self, spot: Spot, rest: list[str]) -> Iterator[Edit]:
        other = self._block(rest)
        parts, couplings = self._audit.parts, self._audit.couplings
        pair = [self._row(at) for at in (spot.at, other)]
        table = couplings.governed
        among = np.isin(couplings.a, pair) & np.isin(couplings.b, pair)
        held = np.isin(table.part, pair) & np.isin(table.other, pair)
        numbers = np.flatnonzero(among).tolist()
        numbers += (len(couplings) + np.flatnonzero(held)).tolist()
        if not numbers or pair[0] == pair[1]:
            raise self._wrong("the two are not coupled")
        joints = [joint_of(parts, couplings, number) for number in numbers]
        for joint in dict.fromkeys(joints):
            yield Cut(joint)

    def _row(self, at: Block) -> int:
        parts = self._audit.parts
        here = (parts.xyz == np.array(at)).all(axis=1)
        here &= parts.dimension == parts.dimensions.index(self._dimension)
        rows = np.flatnonzero(here).tolist()
        if not rows:
            raise self._wrong(f"no part stands at {at.x} {at.y} {at.z}")
        return int(rows[0])

    def _block(self, words: Sequence[str]) -> Block:
        if len(words) != 3 or not all(re.fullmatch(r"-?\d{1,10}", word) for word in words):
            raise self._wrong("a position is three whole numbers")
        x, y, z = map(int, words)
        if max(abs(x), abs(y), abs(z)) > _LARGEST:
            raise self._wrong("the position lies outside any world")
        return Block(x, y, z)

    def _numbers(self, text: str, *, some: bool = False) -> Iterator[tuple[Field, Fraction]]:
        for name, value in self._pairs(text, some=some):
            if name not in FIELDS:
                raise self._wrong(f"{name} is no number of a part: {', '.join(FIELDS)}")
            if not re.fullmatch(r"-?\d{1,12}(\.\d{1,12}|/0*[1-9]\d{0,11})?", value):
                raise self._wrong(f"{value} is no number such as 16, -2.5 or 32/3")
            yield FIELDS[name], Fraction(value)

    def _pairs(self, text: str, *, some: bool = True) -> Iterator[tuple[str, str]]:
        items = [item for item in text.split(",") if item]
        if some and not items:
            raise self._wrong("nothing is given to set")
        for item in items:
            name, equals, value = item.partition("=")
            if not (name and equals and value):
                raise self._wrong(f"{item!r} is not of the form name=value")
            yield name, value

    def _nothing_more(self, rest: Sequence[str]) -> None:
        if rest:
            raise self._wrong(f"{' '.join(rest)!r} is too much")

    def _default(self) -> str:
        names = self._audit.parts.dimensions
        return _FIRST if _FIRST in names or not names else names[0]

    def _wrong(self, reason: str) -> UsageError:
        return UsageError(f"{self._text!r}: {reason}. Write: {FORMS[self._verb]}")
