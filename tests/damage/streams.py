"""Faults of a chunk's compressed stream, ahead of its list of block entities and behind it."""

from __future__ import annotations

import random
import struct
from collections.abc import Iterator

from tests.damage.damage import SOUND, Damage, within
from tests.save.chunks import LZ4_END, chunk_tree, compress, lz4_block
from tests.save.nbt_bytes import byte_array

_KINDS = {1: "gzip", 2: "zlib", 4: "lz4"}
_BAD = {1: "bad-gzip-stream", 2: "bad-zlib-stream", 4: "bad-lz4-stream"}


def iter_streams() -> Iterator[Damage]:
    for kind in (0, 5, 9, 126):
        yield _stored(f"compression-{kind}", kind, compress(SOUND, 2), "unknown-compression")
    custom = struct.pack(">H", 4) + b"zstd" + compress(SOUND, 2)
    yield _stored("compression-of-a-servers-own", 127, custom, "custom-compression")
    yield _stored("compression-that-is-not-stated", 3, compress(SOUND, 2), "bad-nbt")
    for kind in _KINDS:
        yield from _of_kind(kind)
    yield from _trailers()
    yield from _lz4()


def _of_kind(kind: int) -> Iterator[Damage]:
    name, sound = _KINDS[kind], compress(SOUND, kind)
    # Of a cut block of LZ4 nothing comes out.
    cut = "bad-lz4-stream" if kind == 4 else "cut-short"
    yield _stored(f"{name}-stream-cut", kind, sound[: len(sound) // 2], cut)
    yield _stored(f"{name}-stream-of-nonsense", kind, b"\xa5" * 200, _BAD[kind])
    flipped = _flipped(sound, 1 if kind == 1 else 0)
    yield _stored(f"{name}-stream-with-a-false-beginning", kind, flipped, _BAD[kind])
    # What the list's end is far ahead of; noise, so that the stream is long as well.
    noise = random.Random(6).randbytes(300_000)
    ballast = byte_array([byte - 128 for byte in noise])
    plain = compress(chunk_tree(0, 0, more={"ballast": ballast}), kind)
    late = plain[: len(plain) * 2 // 3]
    yield _stored(f"{name}-stream-cut-late", kind, late, cut, seen_always=False)


def _trailers() -> Iterator[Damage]:
    packed = compress(SOUND, 2)
    for missing in (1, 4):
        yield _stored(f"zlib-trailer-lacks-{missing}", 2, packed[:-missing], None)
    # A sum that is there and false says that the bytes are not those that were written.
    false = _flipped(packed, len(packed) - 1)
    yield _stored("zlib-trailer-false", 2, false, "bad-zlib-stream")
    yield _stored("gzip-trailer-missing", 1, compress(SOUND, 1)[:-8], None)
    for kind, name in _KINDS.items():
        yield _stored(
            f"{name}-stream-with-bytes-behind", kind, compress(SOUND, kind) + b"behind", None
        )
        behind = compress(SOUND + b"\xffbehind the root", kind)
        yield _stored(f"{name}-tree-with-bytes-behind", kind, behind, None)


def _lz4() -> Iterator[Damage]:
    block = lz4_block(SOUND)
    yield _stored("lz4-without-its-end-block", 4, block, None)
    for name, at, value in (
        ("lz4-block-of-negative-size", 9, -1),
        ("lz4-block-inflating-to-a-negative-size", 13, -1),
        ("lz4-block-inflating-to-two-gigabytes", 13, 2**31 - 1),
        ("lz4-block-inflating-to-nothing", 13, 0),
    ):
        data = bytearray(block + LZ4_END)
        struct.pack_into("<i", data, at, value)
        yield _stored(name, 4, bytes(data), "bad-lz4-stream")
    token = bytearray(block + LZ4_END)
    token[8] = 0x46
    yield _stored("lz4-block-of-an-unknown-method", 4, bytes(token), "bad-lz4-stream")


def _flipped(data: bytes, at: int) -> bytes:
    changed = bytearray(data)
    changed[at] ^= 0xFF
    return bytes(changed)


def _stored(
    name: str, kind: int, payload: bytes, reason: str | None, *, seen_always: bool = True
) -> Damage:
    chunk = struct.pack(">iB", len(payload) + 1, kind) + payload
    return Damage(name, within(chunk), reason, seen_always=seen_always)
