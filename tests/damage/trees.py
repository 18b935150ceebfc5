"""Faults of a chunk's tree, each once ahead of its list of block entities and once behind it."""

from __future__ import annotations

import struct
from collections.abc import Iterator

from tests.damage.damage import SOUND, WHEEL, Damage, blocks, within
from tests.save.chunks import chunk_tree, entity, stored
from tests.save.nbt_bytes import Tag, compound, integer, list_of, text, tree

_WHEEL = entity("quayworks:wheel", 0, 64, 8)
_SHED = entity("minecraft:chest", 0, 64, 8)


def iter_trees() -> Iterator[Damage]:
    for name, value in _VALUES.items():
        ahead = chunk_tree(0, 0, entities=[_SHED], more={"odd": value}, last=True)
        yield _whole(f"{name}-ahead", ahead, "bad-nbt")
        behind = chunk_tree(0, 0, entities=[_SHED], more={"odd": value})
        yield _whole(f"{name}-behind", behind, "bad-nbt", seen_always=False)
        # In a chunk with a part everything is read.
        part = chunk_tree(
            0, 0, entities=[_WHEEL], sections=[blocks({0: WHEEL})], more={"odd": value}
        )
        yield _whole(f"{name}-behind-a-part", part, "bad-nbt")
    for name, value in _BEYOND.items():
        # Ballast behind it, so that it is the length that lies and not the file that is cut.
        ahead = chunk_tree(0, 0, entities=[_SHED], more={"odd": value}, last=True)
        yield _whole(f"{name}-ahead", ahead, "cut-short")
        behind = chunk_tree(0, 0, entities=[_SHED], more={"odd": value})
        yield _whole(f"{name}-behind", behind, "cut-short", seen_always=False)
    yield from _roots()
    yield from _places()
    yield from _entity_lists()


def _nested(depth: int) -> Tag:
    # One list within another, all the way down.
    return Tag(9, struct.pack(">bi", 9, 1) * (depth - 1) + struct.pack(">bi", 0, 0))


def _named_nested(depth: int) -> Tag:
    return Tag(10, b"\x0a\x00\x00" * (depth - 1) + b"\x00" * depth)


#: Values that no longer buffer could make sense of.
_VALUES = {
    "lists-nested-513-deep": _nested(512),
    "lists-nested-100000-deep": _nested(100_000),
    "compounds-nested-100000-deep": _named_nested(100_000),
    "byte-array-of-negative-length": Tag(7, struct.pack(">i", -1)),
    "int-array-of-negative-length": Tag(11, struct.pack(">i", -(2**31))),
    "long-array-of-negative-length": Tag(12, struct.pack(">i", -1)),
    "list-of-negative-length": Tag(9, struct.pack(">bi", 10, -1)),
    "list-of-ends": Tag(9, struct.pack(">bi", 0, 2)),
    "list-of-an-unknown-tag": Tag(9, struct.pack(">bi", 99, 2) + bytes(8)),
    "tag-13": Tag(13, bytes(8)),
    "tag-255": Tag(255, bytes(8)),
}

#: Values that would reach beyond the chunk.
_BEYOND = {
    "byte-array-of-two-gigabytes": Tag(7, struct.pack(">i", 2**31 - 1)),
    "long-array-of-two-thousand-million": Tag(12, struct.pack(">i", 2**31 - 1)),
    "byte-list-of-two-thousand-million": Tag(9, struct.pack(">bi", 1, 2**31 - 1)),
    "compound-list-of-two-thousand-million": Tag(9, struct.pack(">bi", 10, 2**31 - 1)),
    "string-of-65535-bytes": Tag(8, struct.pack(">H", 65_535)),
}


def _roots() -> Iterator[Damage]:
    yield _whole("root-that-is-a-list", b"\x09" + SOUND[1:], "bad-nbt")
    yield _whole("root-that-is-an-end", b"\x00", "cut-short")
    yield _whole("tree-of-no-bytes", b"", "cut-short")
    yield _whole("tree-that-is-no-chunk", tree(compound(quay=integer(1))), "place-missing")
    yield _whole("tree-without-its-last-byte", SOUND[:-1], "cut-short")


def _places() -> Iterator[Damage]:
    section = [blocks({0: WHEEL})]
    for name, cx, cz in (("other-chunk-east", 1, 0), ("other-chunk-far", -(2**31), 2**31 - 1)):
        chunk = chunk_tree(cx, cz, entities=[_WHEEL], sections=section)
        yield _whole(name, chunk, "wrong-place")
        plain = chunk_tree(cx, cz, entities=[_SHED], last=True)
        yield _whole(f"{name}-ahead", plain, "wrong-place")
        plain = chunk_tree(cx, cz, entities=[_SHED])
        yield _whole(f"{name}-behind", plain, "wrong-place", seen_always=False)
    adrift = chunk_tree(0, 0, entities=[_WHEEL], status=None, sections=section)
    yield _whole("status-missing", adrift, "status-missing")
    worded = chunk_tree(0, 0, status=None, entities=[_WHEEL], more={"Status": integer(1)})
    yield _whole("status-that-is-a-number", worded, "odd-chunk")


def _entity_lists() -> Iterator[Damage]:
    for name, value, reason in (
        ("entities-that-are-texts", list_of(text("quay")), "bad-entity-list"),
        ("entities-that-are-lists", list_of(list_of()), "bad-entity-list"),
        ("entities-that-are-a-compound", compound(), "odd-chunk"),
        ("entities-fewer-than-stated", Tag(9, struct.pack(">bi", 10, 900)), "cut-short"),
        ("entities-of-negative-number", Tag(9, struct.pack(">bi", 10, -2)), "bad-nbt"),
    ):
        chunk = chunk_tree(0, 0, entities=None, more={"block_entities": value})
        yield _whole(name, chunk, reason)


def _whole(name: str, data: bytes, reason: str | None, *, seen_always: bool = True) -> Damage:
    return Damage(name, within(stored(data)), reason, seen_always=seen_always)
