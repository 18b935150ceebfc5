"""The kernel held against the plain walk: compiled, with every index checked, and interpreted."""

from __future__ import annotations

import ctypes
import random
import struct
from collections.abc import Callable, Set
from typing import Any, NamedTuple

import numpy as np
import pytest

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.chunk.tally import Tally
from analyzer.save.compiled import kernel, octets
from analyzer.save.compiled.quick_walk import QuickWalk
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import open_stream
from analyzer.save.nbt.walker import MalformedError
from analyzer.save.sift.sift import sift_chunk
from tests.outside.test_real_saves import WORLDS
from tests.save.chunks import chunk_tree, entity, section
from tests.save.nbt_bytes import compound, compound_of, integer, list_of, long_array, text, tree
from tests.support.kernel import (
    Strict,
    altered,
    checked_functions,
    compiled_kernel,
    corpus_chunks,
    real_chunks,
)

WANTED = {b"quayworks:shaft": 0}.keys()

#: Walks a chunk, and returns what was noted; None where that is not sure.
Walk = Callable[[bytes], "list[int] | None"]


def interpreted(data: bytes) -> list[int] | None:
    noted, stack = Strict([0] * kernel.NOTED_ROOM), Strict([0] * octets.STACK_ROOM)
    answer = kernel.walk_chunk(Strict(data), len(data), noted, stack)  # type: ignore[arg-type]
    return list(noted.numbers) if answer == octets.SURE else None


def checked(data: bytes) -> list[int] | None:
    """Walk by machine code that raises for an index beyond its array."""
    noted = np.zeros(kernel.NOTED_ROOM, np.int64)
    stack = np.zeros(octets.STACK_ROOM, np.int64)
    stored = np.frombuffer(data, np.uint8).astype(np.int64)
    answer = checked_functions()["walk_chunk"](stored, len(data), noted, stack)
    return list(map(int, noted)) if answer == octets.SURE else None


def compiled(data: bytes) -> list[int] | None:
    noted = (ctypes.c_int64 * kernel.NOTED_ROOM)()
    stack = (ctypes.c_int64 * octets.STACK_ROOM)()
    stored = ctypes.create_string_buffer(data, max(1, len(data)))
    answer = compiled_kernel().walk_chunk(
        ctypes.addressof(stored), len(data), ctypes.addressof(noted), ctypes.addressof(stack)
    )
    return list(noted) if answer == octets.SURE else None


class Told(NamedTuple):
    """What is said of a chunk that holds nothing wanted."""

    status: int
    data_version: int | None
    unknown: tuple[tuple[bytes, int], ...]
    malformed: int


def plain(data: bytes, chunk: Chunk, wanted: Set[bytes], limits: Limits) -> Told | None:
    """Return what the plain walk says; None where the chunk is damaged or must be read whole."""
    try:
        content: ChunkContent | None = sift_chunk(
            open_stream(3, data, limit=limits.inflated_bytes),
            chunk,
            wanted,
            limits,
            first_bytes=limits.inflated_bytes + 1,
        )
    except (DamageError, MalformedError):
        return None
    if content is None:
        return None
    tally = Tally()
    for entry in content.entries:
        if entry.id is None:
            tally.malformed += 1
        else:
            tally.unknown[entry.id] += 1
    unknown = tuple(sorted(tally.unknown.items()))
    return Told(content.status, content.data_version, unknown, tally.malformed)


def quick(data: bytes, chunk: Chunk, wanted: Set[bytes], limits: Limits) -> Told | None:
    tally = Tally()
    told = QuickWalk(compiled_kernel(), (), wanted, limits, tally).tell(bytearray(data), chunk)
    unknown = tuple(sorted(tally.unknown.items()))
    if told is None:
        assert (unknown, tally.malformed) == ((), 0)
        return None
    return Told(*told, unknown, tally.malformed)


def agree(data: bytes, chunk: Chunk, limits: Limits = Limits()) -> bool:  # noqa: B008 - frozen
    """Hold the quick walk against the plain one; return whether it said anything."""
    said = quick(data, chunk, WANTED, limits)
    assert said is None or said == plain(data, chunk, WANTED, limits)
    return said is not None


def level(*, version: int = 2586, **content: Any) -> bytes:
    inside = compound(
        xPos=integer(3), zPos=integer(-2), Status=text("full"), Sections=list_of(), **content
    )
    return tree(compound_of({"DataVersion": integer(version), "Level": inside}))


def samples() -> list[bytes]:
    """Return short chunks in both layouts whose lists come last."""
    stranger, other = entity("quayworks:bollard", 49, 1, -31), entity("quayworks:rope", 49, 2, -31)
    sections = [section(0, ["minecraft:air", "quayworks:oak_shaft[axis=x]"], {17: 1})]
    return [
        chunk_tree(3, -2, last=True),
        chunk_tree(3, -2, last=True, sections=sections, entities=[stranger, other]),
        chunk_tree(3, -2, last=True, entities=[entity("quayworks:shaft", 49, 1, -31)]),
        level(TileEntities=list_of()),
        level(TileEntities=list_of(stranger)),
        level(version=1976, Heights=long_array([1, -1]), TileEntities=list_of()),
    ]


def test_the_walk_tells_sound_chunks_of_either_layout() -> None:
    told = [agree(data, Chunk(3, -2)) for data in samples()]
    assert told == [True, True, False, True, True, True]


def test_a_chunk_of_another_place_is_left_to_the_plain_walk() -> None:
    assert not any(agree(data, Chunk(3, 2)) for data in samples())


def test_real_chunks_are_told_alike_and_most_are_told() -> None:
    if not WORLDS.is_dir():
        pytest.skip("needs the real saves in ../shared/worlds beside the project")
    told = [agree(data, chunk) for data, chunk in real_chunks(12)]
    assert len(told) > 200
    assert sum(told) > len(told) // 2


def test_damaged_chunks_are_told_alike() -> None:
    for data, chunk in corpus_chunks():
        agree(data, chunk)


def test_twenty_thousand_altered_chunks_are_told_alike() -> None:
    told = sum(agree(data, Chunk(3, -2)) for data in altered(samples(), 20_000, 1))
    assert 2_000 < told < 18_000


@pytest.mark.parametrize("walk", [interpreted, checked])
def test_the_walk_never_leaves_its_arrays_and_notes_what_the_compiled_one_does(walk: Walk) -> None:
    for data in [*samples(), b"", b"\x0a", *altered(samples(), 4_000, 2)]:
        noted, other = walk(data), compiled(data)
        assert (noted is None) == (other is None)
        if noted is not None and other is not None:
            # Of numbers that were not met something earlier may be left.
            used = kernel.IDS + 3 * noted[kernel.KINDS]
            assert noted[:used] == other[:used]


def test_every_beginning_of_a_chunk_is_walked_to_its_end_and_no_further() -> None:
    for data in samples():
        for end in range(len(data) + 1):
            assert (interpreted(data[:end]) is None) == (compiled(data[:end]) is None)


@pytest.mark.parametrize("depth", [10, octets.DEPTH - 1, octets.DEPTH, octets.DEPTH + 40])
def test_deep_values_are_passed_over_as_far_as_there_is_room(depth: int) -> None:
    nested = list_of()
    for _ in range(depth - 1):
        nested = list_of(nested)
    data = level(Deep=nested, TileEntities=list_of())
    assert agree(data, Chunk(3, -2)) is (depth <= octets.DEPTH)
    assert (interpreted(data) is not None) is (depth <= octets.DEPTH)


def test_counts_beyond_all_bounds_are_left_to_the_plain_walk() -> None:
    for count in (2**31 - 1, 2**31, 2**32 - 1, 1_000_000):
        for tag in range(13):
            stored = struct.pack(">BI", tag, count)
            for data in (
                b"\x0a\x00\x00\x09\x00\x01a" + stored + samples()[0][3:],
                b"\x0a\x00\x00\x0c\x00\x01a" + stored[1:] + samples()[0][3:],
                b"\x0a\x00\x00\x09\x00\x0eblock_entities" + stored + b"\x00",
            ):
                said = agree(data, Chunk(3, -2))
                assert interpreted(data) == compiled(data) == None or said  # noqa: E711


def test_many_different_ids_are_left_to_the_plain_walk() -> None:
    for kinds in (kernel.MOST_KINDS, kernel.MOST_KINDS + 1):
        entities = [entity(f"quayworks:k{n % kinds:02}", 48, n, -31) for n in range(3 * kinds)]
        data = chunk_tree(3, -2, last=True, entities=entities)
        assert agree(data, Chunk(3, -2)) is (kinds == kernel.MOST_KINDS)
        assert (interpreted(data) is not None) is (kinds == kernel.MOST_KINDS)


def test_entries_without_an_id_and_with_several_are_counted_alike() -> None:
    odd = [
        compound(x=integer(1)),
        compound(id=integer(1)),
        compound(id=text("")),
        compound(id=text("q:a"), Id=text("q:b")),
    ]
    twice = b"\x08\x00\x02id\x00\x03q:a\x08\x00\x02id\x00\x03q:b\x00"
    then_none = b"\x08\x00\x02id\x00\x03q:a\x03\x00\x02id\x00\x00\x00\x01\x00"
    data = chunk_tree(3, -2, last=True, entities=odd)
    listed = b"\x0a\x00\x00\x09\x00\x0eblock_entities\x0a\x00\x00\x00\x02"
    for one in (data, listed + twice + then_none + b"\x00"):
        assert agree(one, Chunk(3, -2))
    assert plain(listed + twice + then_none, Chunk(0, 0), WANTED, Limits()) == Told(
        SlotStatus.SIFTED, None, ((b"q:b", 1),), 1
    )


def test_narrow_limits_are_left_to_the_plain_walk() -> None:
    data = samples()[0]
    assert agree(data, Chunk(3, -2), Limits(tags=2 * len(data)))
    assert not agree(data, Chunk(3, -2), Limits(tags=2 * len(data) - 1))
    assert not QuickWalk.keeps(Limits(depth=40))


def test_a_mark_is_found_wherever_it_stands() -> None:
    mark = b"quayworks:oak_shaft"
    walk = QuickWalk(compiled_kernel(), (mark, b"q"), WANTED, Limits(), Tally())
    for size in (0, 1, 18, 19, 64, 700):
        chance = random.Random(size)
        for at in range(0, size + 1, 7):
            noise = chance.randbytes(size).replace(b"q", b"-")
            assert not walk.holds_mark(bytearray(noise))
            assert walk.holds_mark(bytearray(noise[:at] + mark + noise[at:]))
            cut = QuickWalk(compiled_kernel(), (mark,), WANTED, Limits(), Tally())
            assert not cut.holds_mark(bytearray(noise[:at] + mark[:-1]))
            assert not cut.holds_mark(bytearray(mark[1:] + noise[at:]))


def test_the_search_reads_no_further_than_the_end() -> None:
    functions = checked_functions()
    mark = np.frombuffer(b"keel", np.uint8).astype(np.int64)
    for size in range(4, 40):
        data = np.zeros(size, np.int64)
        assert functions["may_hold"](data, size, mark, 4) == octets.UNSURE
        data[-4:] = mark
        assert functions["may_hold"](data, size, mark, 4) == octets.SURE
        assert functions["may_hold"](data, size - 1, mark, 4) == octets.UNSURE
