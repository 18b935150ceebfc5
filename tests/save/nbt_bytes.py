"""Trees of NBT written byte by byte, well-formed or not. Shares no code with what reads them."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Tag:
    """A value: its tag number and its bytes."""

    number: int
    body: bytes


def byte(value: int) -> Tag:
    return Tag(1, struct.pack(">b", value))


def short(value: int) -> Tag:
    return Tag(2, struct.pack(">h", value))


def integer(value: int) -> Tag:
    return Tag(3, struct.pack(">i", value))


def long(value: int) -> Tag:
    return Tag(4, struct.pack(">q", value))


def single(value: float) -> Tag:
    return Tag(5, struct.pack(">f", value))


def double(value: float) -> Tag:
    return Tag(6, struct.pack(">d", value))


def byte_array(values: Sequence[int]) -> Tag:
    return Tag(7, struct.pack(f">i{len(values)}b", len(values), *values))


def text(value: str | bytes) -> Tag:
    return Tag(8, name_bytes(value))


def list_of(*values: Tag, element: int | None = None) -> Tag:
    number = element if element is not None else values[0].number if values else 0
    return Tag(9, struct.pack(">bi", number, len(values)) + b"".join(v.body for v in values))


def compound(**values: Tag) -> Tag:
    return compound_of(values)


def compound_of(values: dict[str, Tag]) -> Tag:
    return Tag(10, b"".join(map(named, values, values.values())) + b"\x00")


def int_array(values: Sequence[int]) -> Tag:
    return Tag(11, struct.pack(f">i{len(values)}i", len(values), *values))


def long_array(values: Sequence[int]) -> Tag:
    return Tag(12, struct.pack(f">i{len(values)}q", len(values), *values))


def named(name: str | bytes, tag: Tag) -> bytes:
    return bytes([tag.number]) + name_bytes(name) + tag.body


def name_bytes(value: str | bytes) -> bytes:
    raw = value if isinstance(value, bytes) else value.encode()
    return struct.pack(">H", len(raw)) + raw


def tree(root: Tag) -> bytes:
    """Return a whole tree: its root has an empty name."""
    return named("", root)
