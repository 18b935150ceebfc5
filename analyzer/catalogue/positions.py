"""Lines of the keys of a TOML text, which the TOML reader does not give.

A lexical scan: it follows tables, dotted and quoted keys, inline tables, lists and texts, and
leaves every judgement about the text to the TOML reader. It stops where it no longer follows.

Source: TOML v1.0.0, https://toml.io/en/v1.0.0.
"""

from __future__ import annotations

import re
from contextlib import suppress
from typing import Final

from analyzer.catalogue.notes import KeyPath

#: Deepest nesting of keys, tables and lists that is followed; the format needs seven.
DEEPEST: Final = 16
#: Most values that are followed; the most that a catalogue of the largest size can use.
MOST_VALUES: Final = 500_000
#: Longest number, in characters.
LONGEST_NUMBER: Final = 200

_BLANK = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"((?:[^"\\\n]|\\.)*+)"')
_LITERAL = re.compile(r"'([^'\n]*)'")
_LONG_BASIC = re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''(?:[^']|'(?!''))*+'{3,5}")
_PLAIN = re.compile(r"[^\s,\[\]{}#\"'=]+(?: [0-9][^\s,\[\]{}#\"'=]*)?")
_ESCAPE = re.compile(r"\\(x[0-9A-Fa-f]{2}|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|.)", re.DOTALL)
# \e and \x are of a later TOML; the reader judges whether it knows them.
_SIMPLE = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b"}


class TooMuchError(Exception):
    """A text beyond the bounds: the line, what was found there, and what was expected."""

    def __init__(self, line: int, found: str, expected: str) -> None:
        super().__init__(found)
        self.line = line
        self.found = found
        self.expected = expected


class _NotFollowedError(Exception):
    """The text is not TOML here, or not TOML that the scan knows."""


def key_lines(text: str) -> dict[KeyPath, int]:
    r"""Return the line of every key and list item of a TOML text.

    Parameters
    ----------
    text
        A TOML text with line feeds for line ends; an empty one gives an empty mapping.

    Returns
    -------
    dict
        Line, from 1, by key path. A table has the line of its header, or else of the first key
        that implies it. Where the text is not TOML, what stands before that place.

    Raises
    ------
    TooMuchError
        Where the text is nested deeper, holds more values or longer numbers than is followed.

    >>> key_lines("[rim]\nteeth = 12\nplacements = ['beside']")
    {('rim',): 1, ('rim', 'teeth'): 2, ('rim', 'placements'): 3, ('rim', 'placements', 0): 3}
    """
    scan = _Scan(text)
    with suppress(_NotFollowedError, IndexError):
        scan.document()
    return scan.lines


class _Scan:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[KeyPath, int] = {}
        self._counted_to = 0
        self._line = 1
        self._lists: dict[KeyPath, int] = {}

    def document(self) -> None:
        table: KeyPath = ()
        while self._skip(_GAP) < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)
            if self.at < len(self.text) and self.text[self.at] not in "#\n":
                raise _NotFollowedError

    def _header(self) -> KeyPath:
        line = self._line_here()
        double = self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        keys = self._keys("]")
        if double and not self.text.startswith("]]", self.at):
            raise _NotFollowedError
        self.at += 2 if double else 1
        path = self._descend((), keys[:-1], line)
        path = (*path, keys[-1])
        if double:
            index = self._lists.get(path, -1) + 1
            self._lists[path] = index
            self.lines.setdefault(path, line)
            path = (*path, index)
        elif path in self._lists:
            path = (*path, self._lists[path])
        self._note(path, line)
        return path

    def _pair(self, table: KeyPath) -> None:
        line = self._line_here()
        keys = self._keys("=")
        self.at += 1
        self._skip(_BLANK)
        path = (*self._descend(table, keys[:-1], line), keys[-1])
        self._note(path, line)
        self._value(path)

    def _descend(self, path: KeyPath, keys: list[str], line: int) -> KeyPath:
        for key in keys:
            path = (*path, key)
            if path not in self.lines:
                self._note(path, line)
            if path in self._lists:
                path = (*path, self._lists[path])
        return path

    def _keys(self, end: str) -> list[str]:
        keys = []
        while True:
            self._skip(_BLANK)
            keys.append(self._key())
            if len(keys) > DEEPEST:
                self._refuse_depth()
            self._skip(_BLANK)
            if self.text[self.at] == end:
                return keys
            if self.text[self.at] != ".":
                raise _NotFollowedError
            self.at += 1

    def _key(self) -> str:
        for pattern in (_BARE_KEY, _BASIC, _LITERAL):
            match = pattern.match(self.text, self.at)
            if match is not None:
                self.at = match.end()
                if pattern is _BARE_KEY:
                    return match[0]
                return _ESCAPE.sub(_unescape, match[1]) if pattern is _BASIC else match[1]
        raise _NotFollowedError

    def _value(self, path: KeyPath) -> None:
        if len(path) > DEEPEST:
            self._refuse_depth()
        match self.text[self.at]:
            case "[":
                self._list(path)
            case "{":
                self._inline_table(path)
            case '"' | "'":
                self._text_value()
            case _:
                token = _PLAIN.match(self.text, self.at)
                if token is None:
                    raise _NotFollowedError
                if len(token[0]) > LONGEST_NUMBER:
                    found = f"found a value of {len(token[0]):,} characters"
                    raise TooMuchError(self._line_here(), found, f"at most {LONGEST_NUMBER}")
                self.at = token.end()

    def _list(self, path: KeyPath) -> None:
        self.at += 1
        index = 0
        while True:
            self._skip(_GAP)
            if self.text[self.at] == "]":
                self.at += 1
                return
            here = (*path, index)
            self._note(here, self._line_here())
            self._value(here)
            index += 1
            self._skip(_GAP)
            self._comma("]")

    def _inline_table(self, path: KeyPath) -> None:
        self.at += 1
        while True:
            # A later TOML allows line ends and a last comma here: the reader judges that.
            self._skip(_GAP)
            if self.text[self.at] == "}":
                self.at += 1
                return
            self._pair(path)
            self._skip(_GAP)
            self._comma("}")

    def _comma(self, end: str) -> None:
        if self.text[self.at] == ",":
            self.at += 1
        elif self.text[self.at] != end:
            raise _NotFollowedError

    def _text_value(self) -> None:
        for pattern in (_LONG_BASIC, _LONG_LITERAL, _BASIC, _LITERAL):
            match = pattern.match(self.text, self.at)
            if match is not None:
                self.at = match.end()
                return
        raise _NotFollowedError

    def _skip(self, pattern: re.Pattern[str]) -> int:
        match = pattern.match(self.text, self.at)
        if match is not None:
            self.at = match.end()
        return self.at

    def _note(self, path: KeyPath, line: int) -> None:
        if len(self.lines) >= MOST_VALUES:
            raise TooMuchError(line, f"found more than {MOST_VALUES:,} values", "fewer")
        self.lines[path] = line

    def _line_here(self) -> int:
        self._line += self.text.count("\n", self._counted_to, self.at)
        self._counted_to = self.at
        return self._line

    def _refuse_depth(self) -> None:
        found = f"found keys nested more than {DEEPEST} deep"
        raise TooMuchError(self._line_here(), found, "the nesting of the catalogue format")


def _unescape(match: re.Match[str]) -> str:
    code = match[1]
    if code[0] in "xuU" and len(code) > 1:
        number = int(code[1:], 16)
        return chr(number) if number < 0x110000 else "\ufffd"
    return _SIMPLE.get(code, code)
