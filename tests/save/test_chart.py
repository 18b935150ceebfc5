"""Chunks charted by machine code, held against those that are walked plainly."""

from __future__ import annotations

import ctypes
import struct
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import pytest

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import ChunkContent, read_chunk
from analyzer.save.compiled import chart, octets
from analyzer.save.compiled.quick_chart import QuickChart
from analyzer.save.compiled.quick_walk import QuickWalk
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import open_stream
from analyzer.save.nbt.walker import MalformedError
from analyzer.save.sift.sift import sift_chunk
from tests.outside.test_real_saves import WORLDS
from tests.save.chunks import chunk_tree, entity, section
from tests.save.nbt_bytes import (
    byte_array,
    compound,
    compound_of,
    integer,
    list_of,
    long,
    short,
    text,
    tree,
)
from tests.support.kernel import (
    Strict,
    altered,
    checked_functions,
    compiled_kernel,
    corpus_chunks,
    real_chunks,
)

HERE = Chunk(3, -2)
WANTED = {b"quayworks:shaft"}
PALETTE = ["minecraft:air", "quayworks:oak_shaft[axis=x]"]

Chart = Callable[[bytes], "list[int] | None"]


def interpreted(data: bytes) -> list[int] | None:
    noted, stack = Strict([0] * chart.CHART_ROOM), Strict([0] * octets.STACK_ROOM)
    answer = chart.chart_chunk(Strict(data), len(data), noted, stack)  # type: ignore[arg-type]
    return list(noted.numbers) if answer == octets.SURE else None


def checked(data: bytes) -> list[int] | None:
    """Chart by machine code that raises for an index beyond its array."""
    noted, stack = np.zeros(chart.CHART_ROOM, np.int64), np.zeros(octets.STACK_ROOM, np.int64)
    stored = np.frombuffer(data, np.uint8).astype(np.int64)
    answer = checked_functions()["chart_chunk"](stored, len(data), noted, stack)
    return list(map(int, noted)) if answer == octets.SURE else None


def compiled(data: bytes) -> list[int] | None:
    noted = (ctypes.c_int64 * chart.CHART_ROOM)()
    stack = (ctypes.c_int64 * octets.STACK_ROOM)()
    answer = compiled_kernel().chart_chunk(
        data, len(data), ctypes.addressof(noted), ctypes.addressof(stack)
    )
    return list(noted) if answer == octets.SURE else None


def told(read: Callable[[], ChunkContent | None]) -> Any:
    """Return all that a chunk says; None where it must be walked."""
    try:
        content = read()
        if content is None:
            return None
        outline, places = content.outline, content.places
        heights = None if places is None else places.by_height(outline)
        return content.status, outline, content.entries, heights
    except (DamageError, MalformedError) as error:
        return type(error), error.args


def agree(data: bytes, chunk: Chunk = HERE, limits: Limits = Limits()) -> bool:  # noqa: B008 - frozen
    """Hold the chart against the plain walk; return whether there was one."""
    charted = QuickChart(compiled_kernel(), limits).chart(data) if QuickWalk.keeps(limits) else None
    if charted is None:
        return False
    most = limits.inflated_bytes + 1
    read, sifted = (
        [
            told(partial(judge, open_stream(3, data, limit=most - 1), chart=chart))
            for chart in (None, lambda _: charted)
        ]
        for judge in (
            partial(read_chunk, chunk=chunk, limits=limits, for_blocks=True),
            partial(sift_chunk, chunk=chunk, wanted=WANTED, limits=limits, first_bytes=most),
        )
    )
    assert read[0] == read[1]
    assert sifted[0] == sifted[1]
    return True


def samples() -> list[bytes]:
    """Return short chunks in both layouts with all that matters."""
    entities = [entity("quayworks:shaft", 49, 1, -31), entity("quayworks:rope", 49, 2, -31)]
    inside = {"xPos": integer(3), "zPos": integer(-2), "Status": text("full")}
    before = {
        "Sections": list_of(section(2, PALETTE, {9: 1}, version=2586)),
        "TileEntities": list_of(*entities),
    }
    version = integer(2586)
    return [
        chunk_tree(3, -2, sections=[section(-4, PALETTE, {17: 1}), section(5, PALETTE[1:], {})]),
        chunk_tree(3, -2, last=True, sections=[section(0, PALETTE, {1: 1})], entities=entities),
        tree(compound_of({"DataVersion": version, "Level": compound_of({**inside, **before})})),
        tree(compound_of({"Level": compound_of({**before, **inside}), "DataVersion": version})),
        chunk_tree(3, -2, last=True, entities=entities[1:]),
        chunk_tree(3, -2, status="minecraft:noise", last=True),
        chunk_tree(3, 7, last=True),
    ]


def test_samples_are_charted() -> None:
    for data in samples():
        assert agree(data)


@pytest.mark.skipif(not WORLDS.is_dir(), reason="needs the real saves beside the checkout")
def test_real_chunks_are_charted_and_read_alike() -> None:
    read = [agree(data, chunk) for data, chunk in real_chunks(40)]
    assert sum(read) > 0.9 * len(read) > 200


def test_damaged_chunks_are_read_alike() -> None:
    for data, chunk in corpus_chunks():
        agree(data, chunk)


def test_twenty_thousand_altered_chunks_are_read_alike() -> None:
    read = sum(agree(data) for data in altered(samples()[:6], 20_000, 3))
    assert 2_000 < read < 18_000


@pytest.mark.parametrize("walk", [interpreted, checked])
def test_a_chart_never_leaves_its_arrays_and_notes_what_the_compiled_one_does(walk: Chart) -> None:
    for data in [*samples(), b"\x0a", *altered(samples(), 1_000, 4)]:
        noted, other = walk(data), compiled(data)
        assert (noted is None) == (other is None)
        if noted is not None and other is not None:
            # Of numbers that were not met something earlier may be left.
            used = chart.ENTITY_ROWS + chart.ENTITY_ROW * noted[chart.ENTITIES]
            assert noted[chart.ENTITY_ROWS : used] == other[chart.ENTITY_ROWS : used]
            used = chart.SECTION_ROWS + chart.SECTION_ROW * noted[chart.SECTIONS]
            assert noted[:used] == other[:used]


def test_every_beginning_of_a_chunk_is_charted_to_its_end_and_no_further() -> None:
    for data in samples():
        for end in range(1, len(data) + 1):
            assert (compiled(data[:end]) is None) == (interpreted(data[:end]) is None)


@pytest.mark.parametrize("count", [chart.MOST_ENTITIES, chart.MOST_ENTITIES + 1])
def test_many_block_entities_are_left_to_the_plain_walk(count: int) -> None:
    listed = [entity("q:a", 48, n, -31) for n in range(count)]
    data = chunk_tree(3, -2, entities=listed)
    assert agree(data) is (count == chart.MOST_ENTITIES)
    assert (interpreted(data) is None) is (count > chart.MOST_ENTITIES)


@pytest.mark.parametrize("count", [chart.MOST_SECTIONS, chart.MOST_SECTIONS + 1])
def test_many_sections_are_left_to_the_plain_walk(count: int) -> None:
    data = chunk_tree(3, -2, sections=[section(n, PALETTE[:1], {}) for n in range(count)])
    assert agree(data) is (count == chart.MOST_SECTIONS)
    assert (interpreted(data) is None) is (count > chart.MOST_SECTIONS)


def test_of_values_that_come_twice_in_an_entry_or_a_section_the_last_counts() -> None:
    name, place = text("q:a"), {"x": integer(49), "y": integer(1), "z": integer(-31)}
    entities = [
        compound(id=name, **{**place, "x": long(49)}),
        compound(id=name, **{**place, "y": short(-5)}),
        compound(id=name, **{**place, "z": text("-31")}),
        compound(id=name, **{**place, "x": long(2**31)}),
        compound(id=integer(1), **place),
        compound(**place),
        compound(id=name, x=integer(1)),
    ]
    whole = chunk_tree(3, -2, entities=entities, sections=[section(1, PALETTE, {3: 1})])
    assert agree(whole)
    x = b"\x03\x00\x01x\x00\x00\x00\x31"
    for again in (x, b"\x08\x00\x01x\x00\x00", b"\x04\x00\x01x\x00\x00\x00\x01\x00\x00\x00\x00"):
        assert agree(whole.replace(x, x + again))
        assert agree(whole.replace(x, again + x))
    height = b"\x01\x00\x01Y\x01"
    for again in (b"\x01\x00\x01Y\x02", b"\x08\x00\x01Y\x00\x00", b"\x04\x00\x01Y" + bytes(8)):
        assert agree(whole.replace(height, height + again))
        assert agree(whole.replace(height, again + height))


def test_sections_without_blocks_or_of_another_layout_are_charted_alike() -> None:
    y = integer(3)
    listed = [
        compound(Y=y),
        compound(SkyLight=byte_array(range(9))),
        compound(Y=y, Blocks=byte_array(range(9))),
        compound(Y=y, block_states=compound()),
        compound(Y=y, block_states=integer(1)),
        compound(Y=y, block_states=compound(palette=integer(1), data=integer(1))),
        compound(Y=y, block_states=compound(block_states=compound(palette=list_of(y)))),
        section(7, PALETTE, {1: 1}, version=2586),
    ]
    assert agree(chunk_tree(3, -2, sections=listed))
    # It has blocks and no height: damage, which the plain walk tells.
    without = chunk_tree(3, -2, sections=[compound(block_states=compound(palette=list_of()))])
    assert not agree(without)
    assert interpreted(without) is None


@pytest.mark.parametrize("name", ["xPos", "Status", "sections", "block_entities", "DataVersion"])
def test_what_is_of_an_odd_kind_or_comes_twice_is_left_to_the_plain_walk(name: str) -> None:
    data = samples()[0]
    stored = struct.pack(">H", len(name)) + name.encode()
    assert agree(b"\x0a\x00\x00\x03\x00\x04odd1\x00\x00\x00\x07" + data[3:])
    for tag in (b"\x03%s\x00\x00\x00\x07", b"\x0b%s\x00\x00\x00\x00"):
        assert not agree(b"\x0a\x00\x00" + tag % stored + data[3:])
        assert interpreted(b"\x0a\x00\x00" + tag % stored + data[3:]) is None


def test_chunks_of_another_place_or_without_what_they_must_say_are_damaged_alike() -> None:
    data = samples()[0]
    assert agree(data, Chunk(3, -1))
    assert agree(chunk_tree(3, -2, status=None))
    assert agree(chunk_tree(3, -2, version=None))
    assert agree(chunk_tree(3, -2, version=1343, status=None))
    assert agree(data.replace(b"xPos", b"xpos"))


def test_narrow_limits_are_left_to_the_plain_walk() -> None:
    data = samples()[0]
    assert agree(data, HERE, Limits(tags=2 * len(data)))
    assert not agree(data, HERE, Limits(tags=2 * len(data) - 1))
