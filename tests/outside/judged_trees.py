"""Whole trees of NBT as plain values: read by the tool's walker, by nbtlib and by amulet-nbt.

A value is its tag's number and, by kind: text; a whole number; the text of a floating-point one, so
that -0.0 and what is no number can be compared; an array's big-endian bytes; a list; a mapping.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeAlias

import nbtlib
import numpy as np
import pytest
from hypothesis import strategies as st

from analyzer.base.limits import Limits
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import Cursor
from tests.save.nbt_bytes import (
    Tag,
    byte,
    byte_array,
    compound_of,
    double,
    int_array,
    integer,
    list_of,
    long,
    long_array,
    short,
    single,
    text,
    tree,
)

Plain: TypeAlias = tuple[int, Any]
WIDTHS = {7: 1, 11: 4, 12: 8}


def by_walker(data: bytes) -> Plain:
    cursor = Cursor(data, Limits())
    values = {decode_text(name): _walked(cursor, tag) for name, tag in cursor.root()}
    assert cursor.at == len(data)
    return 10, values


def _walked(cursor: Cursor, tag: int) -> Plain:
    if tag == 10:
        return tag, {decode_text(name): _walked(cursor, inner) for name, inner in cursor.compound()}
    if tag == 9:
        return tag, [_walked(cursor, inner) for inner in cursor.elements()]
    if tag == 8:
        return tag, cursor.text()
    if tag in WIDTHS:
        start, count = cursor.array(tag)
        return tag, cursor.data[start : start + WIDTHS[tag] * count]
    value = cursor.number(tag)
    return tag, repr(value) if tag in (5, 6) else value


def by_nbtlib(data: bytes) -> Plain:
    return _plain(nbtlib.File.parse(io.BytesIO(data)), np.asarray)


def by_amulet(data: bytes) -> Plain:
    amulet_nbt = pytest.importorskip("amulet_nbt", reason="has no wheel for this Python")
    root = amulet_nbt.load(data, compressed=False).compound
    return _plain(root, lambda tag: tag.np_array)


def _plain(tag: Any, array: Callable[[Any], Any]) -> Plain:
    kind = tag.tag_id
    if kind == 10:
        return kind, {str(name): _plain(value, array) for name, value in tag.items()}
    if kind == 9:
        return kind, [_plain(value, array) for value in tag]
    if kind == 8:
        return kind, str(tag)
    if kind in WIDTHS:
        return kind, array(tag).astype(f">i{WIDTHS[kind]}").tobytes()
    return kind, repr(float(tag)) if kind in (5, 6) else int(tag)


#: The libraries by name.
JUDGES: Mapping[str, Callable[[bytes], Plain]] = {"nbtlib": by_nbtlib, "amulet-nbt": by_amulet}


def iter_paths(value: Plain, steps: tuple[str | int, ...] = ()) -> Iterator[tuple[Any, Plain]]:
    """Iterate over every path into a value: keys and indices, of arrays the first and the last."""
    if steps:
        yield steps, value
    tag, inner = value
    if tag == 10:
        for name, item in inner.items():
            yield from iter_paths(item, (*steps, name))
    elif tag == 9:
        for number, item in enumerate(inner):
            yield from iter_paths(item, (*steps, number))
    elif tag in WIDTHS and inner:
        width = WIDTHS[tag]
        element = {7: 1, 11: 3, 12: 4}[tag]
        for at in sorted({0, len(inner) // width - 1}):
            number = int.from_bytes(inner[width * at : width * (at + 1)], "big", signed=True)
            yield (*steps, at), (element, number)


def trees(characters: st.SearchStrategy[str]) -> st.SearchStrategy[bytes]:
    """Draw whole trees, written byte by byte."""
    names = st.text(characters, max_size=6)

    def whole(bits: int) -> st.SearchStrategy[int]:
        return st.integers(-(2 ** (bits - 1)), 2 ** (bits - 1) - 1)

    leaves = [
        whole(8).map(byte),
        whole(16).map(short),
        whole(32).map(integer),
        whole(64).map(long),
        st.floats(width=32).map(single),
        st.floats().map(double),
        st.text(characters, max_size=8).map(in_modified_utf8).map(text),
        st.lists(whole(8), max_size=4).map(byte_array),
        st.lists(whole(32), max_size=4).map(int_array),
        st.lists(whole(64), max_size=4).map(long_array),
    ]

    def grow(inner: st.SearchStrategy[Tag]) -> st.SearchStrategy[Tag]:
        return _compounds(names, inner) | st.lists(inner, max_size=4).map(_of_one_kind)

    values = st.recursive(st.one_of(leaves), grow, max_leaves=15)
    return _compounds(names, values).map(tree)


def _compounds(
    names: st.SearchStrategy[str], values: st.SearchStrategy[Tag]
) -> st.SearchStrategy[Tag]:
    keys = names.map(in_modified_utf8)
    return st.dictionaries(keys, values, max_size=4).map(compound_of)


def _of_one_kind(values: list[Tag]) -> Tag:
    return list_of(*(value for value in values if value.number == values[0].number))


def in_modified_utf8(value: str) -> bytes:
    """Write text as java.io.DataInput describes it, character by character."""
    return b"".join(map(_character, value))


def _character(character: str) -> bytes:
    number = ord(character)
    if number == 0:
        return b"\xc0\x80"
    if number < 0x10000:
        return character.encode()
    high, low = divmod(number - 0x10000, 0x400)
    return b"".join(
        chr(half).encode("utf-8", "surrogatepass") for half in (0xD800 + high, 0xDC00 + low)
    )
