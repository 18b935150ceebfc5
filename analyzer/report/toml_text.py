"""Text as TOML writes it."""

from __future__ import annotations

from collections.abc import Iterable


def toml_string(text: str) -> str:
    r"""Return a basic string that reads back as the text.

    Halves of surrogate pairs, which TOML cannot hold, become the replacement character.

    >>> toml_string('a "b"\n')
    '"a \\"b\\"\\u000a"'
    """
    return f'"{"".join(map(_escaped, text))}"'


def toml_strings(texts: Iterable[str]) -> str:
    """Return an array of strings.

    >>> toml_strings(["quayworks:gear"])
    '["quayworks:gear"]'
    """
    return f"[{', '.join(map(toml_string, texts))}]"


def _escaped(char: str) -> str:
    code = ord(char)
    if char in '"\\':
        return f"\\{char}"
    if 0xD800 <= code <= 0xDFFF:
        return "\ufffd"
    if char.isprintable():
        return char
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
