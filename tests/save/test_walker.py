"""The walker against two general-purpose libraries where they are right, and against hostile data.

Where a library is wrong (nbtlib on modified UTF-8, both on false lengths and deep nesting) the
expectation is written out by hand.
"""

from __future__ import annotations

import contextlib
import io
import math
import struct
from typing import Any

import nbtlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.base.limits import Limits
from analyzer.save.nbt.modified_utf8 import decode_text
from analyzer.save.nbt.walker import (
    ARRAY_WIDTHS,
    BYTE,
    COMPOUND,
    DOUBLE,
    LIST,
    STRING,
    Cursor,
    MalformedError,
    TruncatedError,
    WalkError,
)
from tests.save.nbt_bytes import Tag, compound, integer, list_of, long, named, text, tree

LIMITS = Limits()


def read(cursor: Cursor, tag: int) -> tuple[int, Any]:
    """Read a value whole, as (tag, plain value)."""
    if BYTE <= tag <= DOUBLE:
        return tag, cursor.number(tag)
    if tag == STRING:
        return tag, cursor.text()
    if tag in ARRAY_WIDTHS:
        start, count = cursor.array(tag)
        code = {1: "b", 4: "i", 8: "q"}[ARRAY_WIDTHS[tag]]
        return tag, list(struct.unpack_from(f">{count}{code}", cursor.data, start))
    if tag == LIST:
        return tag, [read(cursor, element) for element in cursor.elements()]
    assert tag == COMPOUND
    return tag, {decode_text(name): read(cursor, inner) for name, inner in cursor.compound()}


def read_tree(data: bytes) -> tuple[int, Any]:
    cursor = Cursor(data, LIMITS)
    values = {decode_text(name): read(cursor, tag) for name, tag in cursor.root()}
    assert cursor.at == len(data)
    return COMPOUND, values


def pass_over(data: bytes, limits: Limits = LIMITS) -> int:
    """Skip every value of the root and return where the tree ends."""
    cursor = Cursor(data, limits)
    for _ in cursor.root():
        pass
    return cursor.at


def plain(tag: Any) -> tuple[int, Any]:
    """Return a library's tag as `read` gives it; both libraries name their types alike."""
    kind = tag.tag_id
    if kind == COMPOUND:
        return kind, {str(name): plain(value) for name, value in tag.items()}
    if kind == LIST:
        return kind, [plain(value) for value in tag]
    if kind in ARRAY_WIDTHS:
        return kind, [int(value) for value in tag]
    if kind == STRING:
        return kind, str(tag)
    return kind, float(tag) if kind in (5, 6) else int(tag)


def trees(characters: st.SearchStrategy[str]) -> st.SearchStrategy[nbtlib.Compound]:
    names = st.text(characters, max_size=6)

    def integers(bits: int) -> st.SearchStrategy[int]:
        return st.integers(-(2 ** (bits - 1)), 2 ** (bits - 1) - 1)

    def arrays(kind: Any, bits: int) -> st.SearchStrategy[Any]:
        return st.lists(integers(bits), max_size=4).map(kind)

    leaves = [
        integers(8).map(nbtlib.Byte),
        integers(16).map(nbtlib.Short),
        integers(32).map(nbtlib.Int),
        integers(64).map(nbtlib.Long),
        st.floats(width=32, allow_nan=False).map(nbtlib.Float),
        st.floats(allow_nan=False).map(nbtlib.Double),
        st.text(characters, max_size=8).map(nbtlib.String),
        arrays(nbtlib.ByteArray, 8),
        arrays(nbtlib.IntArray, 32),
        arrays(nbtlib.LongArray, 64),
    ]
    lists = st.one_of(leaves).flatmap(
        lambda first: st.just(nbtlib.List[type(first)]([first, first]))
    )

    def grow(children: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
        inner = st.dictionaries(names, children, max_size=4).map(nbtlib.Compound)
        return inner | st.lists(inner, max_size=3).map(nbtlib.List[nbtlib.Compound])

    values = st.recursive(st.one_of(*leaves, lists), grow, max_leaves=12)
    return st.dictionaries(names, values, max_size=6).map(nbtlib.Compound)


def written(root: nbtlib.Compound) -> bytes:
    buffer = io.BytesIO()
    nbtlib.File(root).write(buffer)
    return buffer.getvalue()


# Where modified UTF-8 is plain UTF-8: no NUL, nothing beyond U+FFFF, no surrogates.
COMMON = st.characters(min_codepoint=1, max_codepoint=0xFFFF, exclude_categories=("Cs",))
EVERY = st.characters(exclude_categories=("Cs",))


@given(trees(COMMON))
@settings(deadline=None, derandomize=True)
def test_a_tree_written_by_nbtlib_is_read_as_it_was_meant(root: nbtlib.Compound) -> None:
    assert read_tree(written(root)) == plain(root)


@given(trees(COMMON))
@settings(deadline=None, derandomize=True)
def test_passing_over_a_tree_ends_where_reading_it_ends(root: nbtlib.Compound) -> None:
    data = written(root)
    assert pass_over(data + b"more") == len(data)


@given(trees(COMMON), st.data())
@settings(deadline=None, derandomize=True)
def test_every_beginning_of_a_tree_is_known_to_be_cut(root: nbtlib.Compound, data: Any) -> None:
    whole = written(root)
    cut = data.draw(st.integers(0, len(whole) - 1))
    with pytest.raises(TruncatedError):
        pass_over(whole[:cut])
    with pytest.raises(TruncatedError):
        read_tree(whole[:cut])


@given(trees(COMMON), st.data())
@settings(max_examples=300, deadline=None, derandomize=True)
def test_altered_bytes_give_a_tree_or_a_walk_error(root: nbtlib.Compound, data: Any) -> None:
    whole = bytearray(written(root))
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    with contextlib.suppress(WalkError):
        assert pass_over(bytes(whole)) <= len(whole)


@given(trees(EVERY))
@settings(deadline=None, derandomize=True)
def test_amulet_and_the_walker_read_the_same_from_what_amulet_writes(root: Any) -> None:
    amulet = pytest.importorskip("amulet_nbt", reason="one of the two judges")

    def convert(tag: Any) -> Any:
        kind = tag.tag_id
        if kind == COMPOUND:
            return amulet.CompoundTag({str(name): convert(value) for name, value in tag.items()})
        if kind == LIST:
            return amulet.ListTag([convert(value) for value in tag])
        if kind in ARRAY_WIDTHS:
            made = {7: amulet.ByteArrayTag, 11: amulet.IntArrayTag, 12: amulet.LongArrayTag}[kind]
            return made([int(value) for value in tag])
        made = {
            1: amulet.ByteTag,
            2: amulet.ShortTag,
            3: amulet.IntTag,
            4: amulet.LongTag,
            5: amulet.FloatTag,
            6: amulet.DoubleTag,
            8: amulet.StringTag,
        }[kind]
        return made(str(tag) if kind == STRING else float(tag) if kind > 4 else int(tag))

    data = amulet.NamedTag(convert(root)).save_to(compressed=False)
    judged = amulet.load(data, compressed=False)
    assert read_tree(data) == plain_amulet(judged.compound)


def plain_amulet(tag: Any) -> Any:
    kind = tag.tag_id
    if kind == COMPOUND:
        return kind, {name: plain_amulet(value) for name, value in tag.items()}
    if kind == LIST:
        return kind, [plain_amulet(value) for value in tag]
    if kind in ARRAY_WIDTHS:
        return kind, [int(value) for value in tag.np_array]
    if kind == STRING:
        return kind, tag.py_str
    return kind, tag.py_float if kind in (5, 6) else tag.py_int


def nested_lists(depth: int) -> bytes:
    """A root with a list of a list of ... : `depth` containers in all."""
    inner = (b"\x09" + struct.pack(">i", 1)) * (depth - 2) + b"\x00" + struct.pack(">i", 0)
    return tree(Tag(10, named("deep", Tag(9, inner)) + b"\x00"))


def nested_compounds(depth: int) -> bytes:
    return b"\x0a\x00\x00" * depth + b"\x00" * depth


@pytest.mark.parametrize("build", [nested_lists, nested_compounds])
def test_nesting_of_512_is_read(build: Any) -> None:
    data = build(512)
    assert pass_over(data) == len(data)


@pytest.mark.parametrize("build", [nested_lists, nested_compounds])
@pytest.mark.parametrize("depth", [513, 5_000, 40_000, 300_000])
def test_deeper_nesting_is_refused_and_nothing_breaks(build: Any, depth: int) -> None:
    with pytest.raises(MalformedError, match="nesting deeper than the limit"):
        pass_over(build(depth))


def test_a_consumer_that_enters_every_container_meets_the_same_limit() -> None:
    data = nested_compounds(513)

    def enter(cursor: Cursor, steps: int) -> None:
        for _ in cursor.root() if steps == 0 else cursor.compound():
            enter(cursor, steps + 1)

    with pytest.raises(MalformedError, match="nesting"):
        enter(Cursor(data, LIMITS), 0)
    enter(Cursor(nested_compounds(512), LIMITS), 0)


@pytest.mark.parametrize("tag", [7, 11, 12])
def test_an_array_longer_than_the_data_is_cut(tag: int) -> None:
    data = tree(compound(a=Tag(tag, struct.pack(">i", 2**31 - 1))))
    with pytest.raises(TruncatedError):
        pass_over(data)
    with pytest.raises(TruncatedError):
        read_tree(data)


@pytest.mark.parametrize("tag", [7, 11, 12])
def test_an_array_of_negative_length_is_malformed(tag: int) -> None:
    data = tree(compound(a=Tag(tag, struct.pack(">i", -1))))
    with pytest.raises(MalformedError):
        pass_over(data)
    with pytest.raises(MalformedError):
        read_tree(data)


@pytest.mark.parametrize("element", [1, 3, 8, 9, 10, 12])
def test_a_list_longer_than_the_data_is_cut_at_once(element: int) -> None:
    data = tree(compound(a=Tag(9, struct.pack(">bi", element, 2**31 - 1))))
    with pytest.raises(TruncatedError):
        pass_over(data)


@pytest.mark.parametrize(("element", "count"), [(0, 1), (13, 1), (255, 3), (1, -1), (10, -5)])
def test_a_list_of_no_tag_or_of_negative_length_is_malformed(element: int, count: int) -> None:
    data = tree(compound(a=Tag(9, struct.pack(">Bi", element, count))))
    with pytest.raises(MalformedError):
        pass_over(data)
    with pytest.raises(MalformedError):
        read_tree(data)


@pytest.mark.parametrize("element", [0, 1, 13, 200])
def test_an_empty_list_may_name_any_element(element: int) -> None:
    data = tree(compound(a=Tag(9, struct.pack(">Bi", element, 0)), b=integer(7)))
    assert read_tree(data) == (10, {"a": (9, []), "b": (3, 7)})


@pytest.mark.parametrize("tag", [13, 14, 127, 255])
def test_an_unknown_tag_is_malformed_at_any_depth(tag: int) -> None:
    for root in (compound(a=Tag(tag, b"")), compound(a=compound(b=Tag(tag, b"")))):
        with pytest.raises(MalformedError, match=f"unknown tag {tag}"):
            pass_over(tree(root))


@pytest.mark.parametrize("data", [b"\x03\x00\x00", b"\x00\x00\x00", b"\x78\x9c\x00\x00"])
def test_a_root_that_is_no_compound_is_malformed(data: bytes) -> None:
    with pytest.raises(MalformedError, match="root"):
        pass_over(data)


@pytest.mark.parametrize("data", [b"", b"\x0a", b"\x0a\x00", b"\x0a\x00\x05ab"])
def test_a_root_without_its_name_is_cut(data: bytes) -> None:
    with pytest.raises(TruncatedError):
        pass_over(data)


def test_bytes_after_the_root_are_ignored() -> None:
    data = tree(compound(a=integer(1)))
    assert pass_over(data + b"\xff" * 20) == len(data)


def test_a_name_may_be_as_long_as_its_length_can_say() -> None:
    data = tree(Tag(10, named(b"n" * 65535, integer(3)) + b"\x00"))
    assert [name for name, _ in Cursor(data, LIMITS).root()] == [b"n" * 65535]


def test_more_tags_than_the_limit_are_refused_wherever_they_lie() -> None:
    flat = tree(compound(**{f"k{n}": integer(n) for n in range(50)}))
    inner = tree(compound(a=list_of(*[text("x")] * 50)))
    for data in (flat, inner):
        pass_over(data, Limits(tags=60))
        with pytest.raises(MalformedError, match="more tags"):
            pass_over(data, Limits(tags=40))


def test_numbers_of_fixed_size_are_passed_over_without_counting_each() -> None:
    data = tree(compound(a=list_of(*[long(1)] * 1000)))
    assert pass_over(data, Limits(tags=2)) == len(data)


def test_minus_zero_and_what_is_no_number_are_read_as_stored() -> None:
    data = tree(
        compound(
            a=Tag(5, struct.pack(">f", -0.0)),
            b=Tag(6, struct.pack(">d", math.nan)),
            c=Tag(5, struct.pack(">f", 0.1)),
        )
    )
    _, values = read_tree(data)
    assert math.copysign(1, values["a"][1]) == -1
    assert math.isnan(values["b"][1])
    assert values["c"][1] == struct.unpack(">f", struct.pack(">f", 0.1))[0]
