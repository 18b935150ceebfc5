"""Collecting the mistakes of one catalogue, each with its key path and line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any, Final, TypeAlias

from analyzer.base.mistake import Mistake

#: Steps from a document's root to a value: keys and list indices.
KeyPath: TypeAlias = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LONGEST_SAID: Final = 60
# Looking for the name that was meant costs far more than the rest of a mistake.
_MOST_HINTS: Final = 500


class Notes:
    """The mistakes found so far in one file.

    Parameters
    ----------
    file
        The catalogue's path as it was given, or its name.
    lines
        Line of each key path.
    """

    def __init__(self, file: str, lines: Mapping[KeyPath, int]) -> None:
        self.file = file
        self._lines = lines
        self._mistakes: set[Mistake] = set()
        self._touched: set[KeyPath] = set()
        self._meant: set[KeyPath] = set()
        self._hints = 0

    def add(self, path: KeyPath, found: str, expected: str) -> None:
        """Note a mistake at a key path; a missing key has the line of the table it belongs in."""
        self._mistakes.add(Mistake(self.file, self.line(path), key_text(path), found, expected))
        self._touched.update(path[:length] for length in range(len(path) + 1))

    def clean(self, path: KeyPath) -> bool:
        """Tell whether nothing at or below a key path was noted."""
        return path not in self._touched

    def near(self, name: str, known: Iterable[str]) -> str | None:
        """Return the known name that a misspelt one most likely stands for, or None.

        Only the first few hundred misspelt names of a file are looked at.
        """
        self._hints += 1
        return near(name, known) if self._hints <= _MOST_HINTS else None

    def misspelt(self, path: KeyPath, keys: Iterable[str], expected: str) -> None:
        """Note an unknown key, and the key that it most likely stands for."""
        match = self.near(str(path[-1]), keys)
        if match is not None:
            self._meant.add((*path[:-1], match))
        self.add(path, f"unknown key{hint(match)}", expected)

    def missing(self, path: KeyPath, expected: str) -> None:
        """Note that a key is missing, unless a misspelt one was taken for it."""
        if path not in self._meant:
            self.add(path, "the key is missing", expected)

    def line(self, path: KeyPath) -> int:
        """Return the line of a key path, or of the nearest table around it."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines:
                return self._lines[path[:length]]
        return 1

    @property
    def mistakes(self) -> tuple[Mistake, ...]:
        """The mistakes by line and key."""
        return tuple(sorted(self._mistakes))


def key_text(path: KeyPath) -> str:
    """Write a key path as it would stand in the file.

    >>> key_text(("parts", "quayworks:shaft", "pose", "cases", 0))
    'parts."quayworks:shaft".pose.cases[0]'
    """
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        else:
            text += "." if text else ""
            text += step if _BARE.fullmatch(step) else quoted(step)
    return text


def said(value: Any) -> str:
    """Say what a value of a document is, short enough for a message.

    >>> said("shaft"), said(True), said({}), said([1])
    ('"shaft"', 'true', 'a table', 'a list')
    """
    match value:
        case bool():
            return str(value).lower()
        case str():
            text = quoted(value)
        case int() | float() | Decimal():
            text = _number_text(value)
        case Mapping():
            return "a table"
        case list():
            return "a list"
        case _:
            return "a date or time"
    return text if len(text) <= _LONGEST_SAID else f"{text[:_LONGEST_SAID]}…"


def quoted(text: str) -> str:
    r"""Return a text in quotes, with what a terminal would not show as it is escaped.

    >>> print(quoted("a\x1bb"))
    "a\u001bb"
    """
    written = json.dumps(text, ensure_ascii=False)
    return "".join(c if c.isprintable() else json.dumps(c)[1:-1] for c in written)


def near(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that a misspelt one most likely stands for, or None.

    >>> near("teath", ["kind", "teeth"]), near("x", ["kind"])
    ('teeth', None)
    """
    import difflib

    matches = difflib.get_close_matches(name[:100], sorted(known), n=1, cutoff=0.6)
    return matches[0] if matches else None


def hint(match: str | None) -> str:
    """Return a clause that suggests a known name; nothing for None."""
    return "" if match is None else f"; did you mean {quoted(match)}?"


def _number_text(value: int | float | Decimal) -> str:
    # The text of an integer of many digits is refused by Python, and of no use to a reader.
    if isinstance(value, int) and value.bit_length() > 200:
        return "a number of more than 60 digits"
    return str(value)
