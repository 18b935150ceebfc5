"""The texts in a tree, with the keys that lead to them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.save.disclosure.addresses import find_addresses, may_hold_addresses
from analyzer.save.disclosure.disclosure import AddressKind
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import COMPOUND, LIST, STRING, Cursor

_LONGEST_FIELD: Final = 200
_LONGEST_KEY_BYTES: Final = 60


def iter_addresses(
    values: Iterator[tuple[bytes | None, int]], cursor: Cursor
) -> Iterator[tuple[str, AddressKind, str]]:
    """Iterate over the addresses in the texts of a compound: field, kind, address.

    Parameters
    ----------
    values
        As `Cursor.root` or `Cursor.compound` gives them.
    cursor
        Whose they are.

    Raises
    ------
    TruncatedError, MalformedError
        As `Cursor.compound`.
    """
    # One iterator a container that is open, instead of recursion.
    opened = [values]
    path: list[bytes | None] = []
    while opened:
        item = next(opened[-1], None)
        if item is None:
            opened.pop()
            del path[-1:]
            continue
        name, tag = item
        if tag == STRING:
            raw = cursor.raw_text()
            if may_hold_addresses(raw):
                versions = name is not None and b"version" in name.lower()
                for kind, found in find_addresses(decode_text(raw), versions=versions):
                    yield _field([*path, name]), kind, found
        elif tag == COMPOUND:
            path.append(name)
            opened.append(_named(cursor))
        elif tag == LIST:
            path.append(name)
            opened.append(_unnamed(cursor))


def _named(cursor: Cursor) -> Iterator[tuple[bytes | None, int]]:
    yield from cursor.compound()


def _unnamed(cursor: Cursor) -> Iterator[tuple[None, int]]:
    for tag in cursor.elements():
        yield None, tag


def _field(path: list[bytes | None]) -> str:
    text = ""
    for step in path:
        if step is None:
            text += "[]"
        else:
            text += f"{'.' if text else ''}{decode_text(step[:_LONGEST_KEY_BYTES])}"
        if len(text) > _LONGEST_FIELD:
            return f"{text[:_LONGEST_FIELD]}…"
    return text
