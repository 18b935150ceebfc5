"""Text from a save made safe to show: what a world holds must not steer a terminal or a table."""

from __future__ import annotations

#: What a spreadsheet would take a cell that begins with it for: a formula.
_FORMULA_STARTS = ("=", "+", "-", "@")


def shown(text: str) -> str:
    r"""Return text with every character that does not print written as an escape.

    That leaves no control character, line break, invisible or direction-changing character, and
    no half of a surrogate pair.

    >>> shown("rope\x1b[31m walk")
    'rope\\x1b[31m walk'
    """
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else _escape(char) for char in text)


def cell(text: str) -> str:
    """Return text as a cell of a CSV table: safe to show, and never a formula.

    >>> cell("=1+1"), cell("quayworks:line_shaft")
    ("'=1+1", 'quayworks:line_shaft')
    """
    safe = shown(text)
    return f"'{safe}" if safe.startswith(_FORMULA_STARTS) else safe


def _escape(char: str) -> str:
    code = ord(char)
    if code < 0x100:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
