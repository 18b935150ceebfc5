"""Targets of the reader of trees and of compressed streams."""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Final

from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.chunk.chunk import ChunkContent, read_chunk
from analyzer.save.chunk.entries import lies_in
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.compiled import chart, kernel, octets
from analyzer.save.compiled.load import kernel_if_worth
from analyzer.save.compiled.quick_chart import QuickChart
from analyzer.save.compiled.quick_walk import QuickWalk
from analyzer.save.inventory.fields import FieldTally
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import Stream, inflate_at_once, open_stream
from analyzer.save.nbt.walker import Cursor, MalformedError, WalkError
from analyzer.save.sift.sift import sift_chunk
from tests.fuzz.forms import compressed
from tests.fuzz.invariants import LIMITS, known, reasons
from tests.fuzz.mutate import Mutator
from tests.fuzz.seeds import trees
from tests.fuzz.target import Target

_PLAIN: Final = 3
# More than it takes to make machine code, where there is a compiler.
_ANY_SECONDS: Final = 1e9
_WANTED: Final = frozenset({b"quayworks:shaft", b"quayworks:tide_wheel"})


def run_tree(data: bytes) -> str:
    """Walk a tree in every way there is; they must agree on what stands where."""
    check_walks(data)
    check_kernel(data)
    place = _place_of(data)
    check_chart(data, place)
    sifted, _ = _judged(lambda: sift_chunk(_plain(data), place, _WANTED, LIMITS, first_bytes=64))
    whole, content = _judged(lambda: read_chunk(_plain(data), place, LIMITS))
    noted, again = _judged(lambda: read_chunk(_plain(data), place, LIMITS, for_blocks=True))
    assert (whole, content and content.entries) == (noted, again and again.entries)
    if sifted not in ("walk", "sifted", "unfinished"):
        assert whole in reasons(), f"sifted: {sifted}, whole: {whole}"
    if content is None:
        return whole
    assert again is not None
    looked = _look(content, place)
    assert looked == _look(again, place)
    return f"{whole} {looked}"


def check_walks(data: bytes) -> None:
    """Hold the walk that passes over plain compounds at once to the one that does not."""
    ends = []
    # As many tags as there are bytes are enough for any tree, but not for the quick way.
    for tags in (len(data) + 8, max(1, len(data) - 1)):
        cursor = Cursor(data, replace(LIMITS, tags=tags))
        try:
            for _ in cursor.root():
                pass
            ends.append(("end", cursor.at))
        except WalkError as error:
            ends.append((f"{type(error).__name__} {error.what}", error.offset))
    assert ends[0] == ends[1], ends
    assert 0 <= ends[0][1] <= len(data)


def check_kernel(data: bytes) -> None:
    """Hold machine code to the Python that it is made of, which cannot read outside its room."""
    made = kernel_if_worth(_ANY_SECONDS)
    walks = [(kernel.walk_chunk, made and made.walk_chunk, kernel.NOTED_ROOM)]
    walks += [(chart.chart_chunk, made and made.chart_chunk, chart.CHART_ROOM)]
    for plain, compiled, size in walks:
        noted, stack = [0] * size, [0] * octets.STACK_ROOM
        sure = plain(data, len(data), noted, stack)
        if compiled is None or not data:
            continue
        other = (ctypes.c_int64 * size)()
        room = (ctypes.c_int64 * octets.STACK_ROOM)()
        said = compiled(data, len(data), ctypes.addressof(other), ctypes.addressof(room))
        assert said == sure
        # What was not met is as it was, and both began with nothing.
        assert not sure or noted == list(other)


def check_chart(data: bytes, chunk: Chunk) -> None:
    """Hold a chunk that machine code charted to the one that is walked plainly."""
    made = kernel_if_worth(_ANY_SECONDS)
    if made is None or not QuickWalk.keeps(LIMITS):
        return
    chart = QuickChart(made, LIMITS).chart
    if chart(data) is None:
        return
    for judge in (
        partial(read_chunk, chunk=chunk, limits=LIMITS, for_blocks=True),
        partial(sift_chunk, chunk=chunk, wanted=_WANTED, limits=LIMITS, first_bytes=len(data) + 1),
    ):
        charted, content = _judged(lambda judge=judge: judge(_plain(data), chart=chart))
        plain, other = _judged(lambda judge=judge: judge(_plain(data)))
        assert charted == plain
        if content is not None and other is not None:
            assert (content.outline, content.entries) == (other.outline, other.entries)
            assert _look(content, chunk) == _look(other, chunk)


def run_stream(data: bytes) -> str:
    """Inflate a stream at once and in pieces; they must agree on its bytes."""
    kind, payload = (data[0] % 6, data[1:]) if data else (2, b"")
    limit = 64 * 1024
    wholes = []
    for size in (limit + 1, 1, 300):
        try:
            stream = open_stream(kind, payload, limit=limit)
            _grow(stream, size, limit)
        except DamageError as damage:
            wholes.append(known(damage.reason))
            continue
        assert stream.ended
        assert len(stream.data) <= limit
        wholes.append(stream.data)
    if kind == 2:
        at_once = inflate_at_once(payload, limit)
        assert at_once is None or at_once == wholes[1]
    assert len(set(wholes)) == 1
    return wholes[0] if isinstance(wholes[0], str) else "inflated"


def _grow(stream: Stream, size: int, limit: int) -> None:
    while not stream.ended:
        stream.grow(min(size, limit + 1))
        size *= 4


def mutate_stream(mutator: Mutator, data: bytes, other: bytes) -> bytes:
    """Change the bytes of a stream, or those that were compressed."""
    kind = mutator.random.choice((1, 2, 3, 4))
    body = data[:600] if mutator.random.random() < 0.5 else data
    kind, payload = compressed(body * mutator.random.choice((1, 1, 1, 9)), kind)
    changed = payload if mutator.random.random() < 0.1 else mutator.bytes(payload, other)
    if mutator.random.random() < 0.1:
        kind = mutator.random.randrange(6)
    return bytes([kind]) + changed


def _plain(data: bytes) -> Stream:
    return open_stream(_PLAIN, data, limit=LIMITS.inflated_bytes)


def _place_of(data: bytes) -> Chunk:
    """Return the place that a tree most likely gives itself, so that it is not merely elsewhere."""
    places = []
    for name in (b"\x03\x00\x04xPos", b"\x03\x00\x04zPos"):
        at = data.find(name) + len(name)
        places.append(int.from_bytes(data[at : at + 4], "big", signed=True))
    return Chunk(*places)


def _judged(read: Callable[[], ChunkContent | None]) -> tuple[str, ChunkContent | None]:
    try:
        content = read()
    except DamageError as damage:
        return known(damage.reason), None
    except MalformedError:
        return "bad-nbt", None
    return ("walk" if content is None else content.status.name.lower()), content


def _look(content: ChunkContent, chunk: Chunk) -> str:
    """Ask for everything that a chunk holds, as scans and surveys do."""
    if content.status in (SlotStatus.OLD, SlotStatus.SIFTED):
        return ""
    try:
        sections = content.sections(PaletteReader())
        for entry in content.entries:
            if entry.block is not None and lies_in(entry.block, chunk):
                sections.state_at(entry.block)
        sections.check()
        for height, palette in sections.iter_palettes(None):
            names = {state.name for state in palette[1:]}
            for state, xyz in sections.iter_cells(height, names, chunk):
                # The slow way of asking what stands there.
                assert sections.state_at(Block(*xyz[0].tolist())) == state
    except DamageError as damage:
        return known(damage.reason)
    finally:
        tally = FieldTally()
        for entry in content.entries:
            tally.add_entity("any", Cursor(content.data, Limits(), entry.at))
        tally.ranges()
    return "whole"


TARGETS = (
    Target("tree", trees, Mutator.tree, run_tree, share=6),
    Target("stream", trees, mutate_stream, run_stream, share=4),
)
