"""Faults of a region file: its header, where slots lead, and what stands there."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

from tests.damage.damage import AT, REST, REST_SLOT, SLOT, SOUND, Damage, within
from tests.save.chunks import SECTOR, chunk_tree, region, stored, with_location

_GOOD = within(stored(SOUND))
_END = len(_GOOD) // SECTOR


def iter_files_and_slots() -> Iterator[Damage]:
    yield from _files()
    yield from _locations()
    yield from _overlaps()
    yield from _lengths()
    yield from _externals()


def _files() -> Iterator[Damage]:
    for size in (1, 4095, 8191):
        yield Damage(f"header-of-{size}-bytes", bytes(size), "short-header", None, rest=False)
    first = with_location(bytes(8192), SLOT, 2, 1)
    yield Damage("file-ends-with-its-header", first, "beyond-end", rest=False)
    cut = region({REST_SLOT: REST, SLOT: stored(SOUND)})[: AT + SECTOR + 4]
    yield Damage("file-ends-within-a-chunks-header", cut, "cut-chunk-header", AT + SECTOR)
    cut = region({REST_SLOT: REST, SLOT: stored(SOUND)})[: AT + SECTOR + 60]
    yield Damage("file-ends-within-a-chunk", cut, "bad-length", AT + SECTOR)


def _locations() -> Iterator[Damage]:
    for name, sector, count, reason in (
        ("slot-points-to-locations", 0, 1, "in-header"),
        ("slot-points-to-timestamps", 1, 1, "in-header"),
        ("slot-has-no-sectors", 2, 0, "no-sectors"),
        ("slot-points-to-the-end", _END, 1, "beyond-end"),
        ("slot-points-far-beyond-the-end", 2**24 - 1, 255, "beyond-end"),
    ):
        yield Damage(name, with_location(_GOOD, SLOT, sector, count), reason, SECTOR * sector)


def _overlaps() -> Iterator[Damage]:
    twice = with_location(_GOOD, SLOT, 3, 1)
    yield Damage("slots-share-a-chunk", twice, "wrong-place", AT + SECTOR)
    # A chunk of three sectors; slot 0 points into its middle, which is no chunk's beginning.
    ballast = stored(chunk_tree(1, 0) + bytes(range(1, 256)) * 40, 3)
    middle = with_location(region({1: ballast, REST_SLOT: REST}), SLOT, 3, 1)
    yield Damage("slot-points-into-another-chunk", middle, "bad-length", AT + SECTOR)


def _lengths() -> Iterator[Damage]:
    packed = zlib.compress(SOUND)
    for name, length in (
        ("length-of-zero", 0),
        ("length-of-minus-one", -1),
        ("length-most-negative", -(2**31)),
        ("length-beyond-its-sectors", SECTOR - 3),
        ("length-most-positive", 2**31 - 1),
    ):
        data = within(struct.pack(">iB", length, 2) + packed)
        yield Damage(name, data, "bad-length")
    # With a count of 255 sectors only the file's end is a bound.
    many = with_location(within(struct.pack(">iB", 10**6, 2) + packed), SLOT, 2, 255)
    yield Damage("length-beyond-the-file-at-255-sectors", many, "bad-length")
    none = within(struct.pack(">iB", 1, 2))
    yield Damage("payload-of-no-bytes", none, "cut-short")


def _externals() -> Iterator[Damage]:
    stub = within(struct.pack(">iB", 1, 0x82))
    name, packed = "c.0.0.mcc", zlib.compress(SOUND)
    yield Damage("external-file-missing", stub, "external-missing")
    yield Damage("external-file-of-no-bytes", stub, "cut-short", beside={name: b""})
    yield Damage("external-file-cut", stub, "cut-short", beside={name: packed[:40]})
    # The five bytes of a chunk in its region are not repeated in a file of its own.
    headed = {name: struct.pack(">iB", len(packed) + 1, 2) + packed}
    yield Damage("external-file-with-a-chunks-header", stub, "bad-zlib-stream", beside=headed)
    unknown = within(struct.pack(">iB", 1, 0x80 | 9))
    yield Damage(
        "external-file-of-unknown-compression",
        unknown,
        "unknown-compression",
        beside={name: packed},
    )
    stale = within(stored(SOUND))
    yield Damage("external-file-that-nobody-flags", stale, None, beside={name: b"stale"})
