"""Writes data as TOML in any of the styles the language allows, and says on which line keys are."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

Path = tuple[str | int, ...]
#: Chooses one of n styles.
Choose = Callable[[int], int]
_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")


class Writer:
    """Writes one document.

    Parameters
    ----------
    choose
        Called with a number of styles; returns the number of one of them.
    """

    def __init__(self, choose: Choose) -> None:
        self.choose = choose
        self.text = ""
        self.lines: dict[Path, int] = {}

    def document(self, data: dict[str, Any]) -> str:
        """Write a document; `lines` then holds the line of each key and list item."""
        self._body((), data)
        return self.text

    def _body(self, path: Path, table: dict[str, Any]) -> None:
        own = {key: item for key, item in table.items() if not self._has_header(item)}
        for key, item in own.items():
            self._noise()
            self._pair((*path, key), [key], item)
            self.text += self._pick("", " ", "  # of oak") + "\n"
        for key, item in table.items():
            if key in own:
                continue
            here = (*path, key)
            if isinstance(item, dict):
                self._header(here, "[", "]")
                self._body(here, item)
            else:
                for index, row in enumerate(item):
                    self._header((*here, index), "[[", "]]")
                    if index == 0:
                        self.lines[here] = self.lines[(*here, 0)]
                    self._body((*here, index), row)

    def _has_header(self, item: Any) -> bool:
        if isinstance(item, list) and item and all(isinstance(row, dict) for row in item):
            return not self.choose(2)
        return isinstance(item, dict) and not self.choose(3)

    def _header(self, path: Path, opening: str, closing: str) -> None:
        self._noise()
        keys = [self._key(step) for step in path if isinstance(step, str)]
        self.lines[path] = self._line()
        self.text += opening + self._pick(".", " . ").join(keys) + closing + "\n"

    def _pair(self, path: Path, keys: list[str], item: Any) -> None:
        self.lines[path] = self._line()
        if isinstance(item, dict) and len(item) == 1 and not self.choose(2):
            ((key, inner),) = item.items()
            self._pair((*path, key), [*keys, key], inner)
            return
        self.text += self._pick(".", " . ").join(self._key(key) for key in keys)
        self.text += self._pick("=", " = ", "\t=")
        self._value(path, item)

    def _value(self, path: Path, item: Any) -> None:
        if isinstance(item, dict):
            self.text += "{" + self._pick("", " ")
            for number, (key, inner) in enumerate(item.items()):
                self.text += self._pick(",", " , ") if number else ""
                self._pair((*path, key), [key], inner)
            self.text += self._pick("", " ") + "}"
        elif isinstance(item, list):
            self.text += "["
            for index, inner in enumerate(item):
                self.text += "," if index else ""
                self.text += self._pick("", " ", "\n", "  # a ] and a '\n\n ")
                self.lines[(*path, index)] = self._line()
                self._value((*path, index), inner)
            self.text += self._pick("", ",\n") if item else ""
            self.text += "]"
        elif isinstance(item, str):
            self.text += self._string(item)
        else:
            self.text += str(item).lower() if isinstance(item, bool) else str(item)

    def _string(self, text: str) -> str:
        style = self.choose(4)
        plain = text.isprintable() and "'" not in text
        if style == 1 and plain:
            return f"'{text}'"
        if style == 2 and plain:
            return f"'''{self._pick('', chr(10))}{text}'''"
        if style == 3:
            body = _escaped(text).replace("\\n", "\n")
            return f'"""{self._pick("", chr(10))}{body}"""' if text else '""""""'
        return f'"{_escaped(text)}"'

    def _key(self, key: str) -> str:
        if _BARE.match(key) and self.choose(2):
            return key
        if key.isprintable() and "'" not in key and self.choose(2):
            return f"'{key}'"
        return f'"{_escaped(key)}"'

    def _noise(self) -> None:
        self.text += self._pick("", "\n", "# [not.a.header]\n", '  # "\n\n', " \t")

    def _pick(self, *texts: str) -> str:
        return texts[self.choose(len(texts))]

    def _line(self) -> int:
        return self.text.count("\n") + 1


def write_toml(data: dict[str, Any]) -> str:
    """Write data as TOML, plainly."""
    return Writer(lambda _: 0).document(data)


def _escaped(text: str) -> str:
    # JSON's escapes are TOML's, but for surrogate pairs, which plain characters avoid, and for
    # the delete character, which TOML wants escaped.
    return json.dumps(text, ensure_ascii=False)[1:-1].replace("\x7f", "\\u007f")
