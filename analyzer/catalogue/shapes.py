"""The few shapes that a value of a catalogue can have.

The format is one table of keys and shapes (`analyzer.catalogue.format`). Checking, the JSON Schema
and the key tables of the reference page are all made from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from analyzer.catalogue.bounds import Bound


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
class Index:
    """An index into a list, from 0."""

    what: str = "an index of at least 0"


@dataclass(frozen=True)
class Many:
    """A list of 1 to `most` items of a shape; `distinct` items differ from each other."""

    what: str
    item: Shape
    most: int
    distinct: bool = False


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
class Table:
    """A table with known keys. Among several tables, the first key tells which one is meant."""

    name: str
    what: str
    keys: tuple[Key, ...]

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


Shape: TypeAlias = Text | Word | Exact | Fixed | Index | Many | Named | Table | Either
