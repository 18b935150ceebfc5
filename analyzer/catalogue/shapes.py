"""The few shapes that a value of a catalogue can have.

The format is one table of keys and shapes (`analyzer.catalogue.format`). Checking, the JSON Schema
and the key tables of the reference page are all made from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from analyzer.catalogue.bounds import LARGEST, Bound


@dataclass(frozen=True)
class Text:
    """Text that matches a pattern as a whole and is at most `longest` characters long."""

    what: str
    pattern: str
    longest: int = 256


@dataclass(frozen=True)
class Word:
    """One of a few words."""

    words: tuple[str, ...]

    @property
    def what(self) -> str:
        """The shape as a noun clause."""
        return f"one of {', '.join(self.words)}"


@dataclass(frozen=True)
class Exact:
    """An integer or a decimal, read exactly."""

    bound: Bound

    @property
    def what(self) -> str:
        """The shape as a noun clause."""
        return self.bound.value


@dataclass(frozen=True)
class Fixed:
    """One value and no other."""

    value: int | bool

    @property
    def what(self) -> str:
        """The shape as a noun clause."""
        return str(self.value).lower()


@dataclass(frozen=True)
class Flag:
    """Either of true and false."""

    what: str = "true or false"


@dataclass(frozen=True)
class Whole:
    """An integer from `least` to `most`."""

    what: str
    least: int
    most: int = LARGEST


@dataclass(frozen=True)
class Many:
    """A list of `least` to `most` items of a shape; `distinct` items differ from each other."""

    what: str
    item: Shape
    most: int
    distinct: bool = False
    least: int = 1


@dataclass(frozen=True)
class Named:
    """A table whose keys are names of the author's choice.

    Parameters
    ----------
    what
        The shape as a noun clause.
    key
        What a name has to look like.
    value
        The shape of each value.
    least
        Fewest entries.
    """

    what: str
    key: Text
    value: Shape
    least: int = 1


@dataclass(frozen=True)
class Key:
    """One key of a table: where it is used, what it holds, what it means.

    Parameters
    ----------
    name
        The key.
    shape
        What its value has to look like.
    meaning
        One or two sentences for the reference page.
    required
        Whether it must be there.
    default
        What holds without it, for the reference page.
    """

    name: str
    shape: Shape
    meaning: str
    required: bool = False
    default: str = ""


@dataclass(frozen=True)
class Demand:
    """What one word asks of the table it stands in: keys there must be, keys there cannot be."""

    required: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()


@dataclass(frozen=True)
class Demands:
    """What each word that a key can hold asks of the other keys of its table."""

    key: str
    by_word: Mapping[str, Demand]


@dataclass(frozen=True)
class Table:
    """A table with known keys. Among several tables, the first key tells which one is meant.

    Parameters
    ----------
    name, what
        The shape's name, and the shape as a noun clause.
    keys
        Its keys.
    demands
        What the word of one key asks of the others.
    apart
        Keys that cannot be there together.
    """

    name: str
    what: str
    keys: tuple[Key, ...]
    demands: Demands | None = None
    apart: tuple[str, str] | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """The names of its keys."""
        return tuple(key.name for key in self.keys)


@dataclass(frozen=True)
class Either:
    """A value of one of several shapes, told apart by their kind and by a table's first key."""

    name: str
    what: str
    options: tuple[Shape, ...]


Shape: TypeAlias = Text | Word | Exact | Fixed | Flag | Whole | Many | Named | Table | Either
