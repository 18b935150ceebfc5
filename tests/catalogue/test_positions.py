from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.catalogue.positions import DEEPEST, LONGEST_NUMBER, TooMuchError, key_lines
from tests.catalogue.toml_writer import Writer

TEXTS = st.text(alphabet="ab_.-: =\"'\\#[]{},\n\t\x1b\x7fé木", max_size=8)
SCALARS = st.one_of(
    TEXTS,
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(allow_nan=False, allow_infinity=False, width=16),
    st.datetimes().map(lambda when: when.replace(microsecond=0)),
)
DATA = st.dictionaries(
    TEXTS,
    st.recursive(
        SCALARS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
        max_leaves=10,
    ),
    max_size=4,
)
PIECES = (
    *("a", "b.c", '"d"', "'e'", "=", " = ", "[", "]", "[[", "]]", "{", "}", ",", ".", "\n", "#"),
    *("1", "-1.5e3", "true", "'x'", '"y"', '"""', "'''", "\\", '\\"', '"', "'", "\t", "\r"),
    *("1979-05-27 07:32:00", "[a]\n", "[[a]]\n", "a = 1\n", "b = [1, 2]\n", "c = {d = 1}\n"),
)
FRAGMENTS = st.lists(st.sampled_from(PIECES), max_size=14).map("".join)


def paths_of(value: Any, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    items: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        items = list(value.items())
    elif isinstance(value, list):
        items = list(enumerate(value))
    found = {path} if path else set()
    return found.union(*(paths_of(item, (*path, step)) for step, item in items))


@given(DATA, st.data())
@settings(max_examples=300, deadline=None, derandomize=True)
def test_every_key_in_every_style_of_writing_has_the_line_it_was_written_on(
    data: dict[str, Any], styles: st.DataObject
) -> None:
    writer = Writer(lambda number: styles.draw(st.integers(0, number - 1)))
    text = writer.document(data)
    assert paths_of(tomllib.loads(text)) == paths_of(data)
    assert key_lines(text) == writer.lines


@given(FRAGMENTS)
@settings(max_examples=2000, deadline=None, derandomize=True)
def test_any_text_that_is_toml_has_exactly_the_keys_that_the_toml_reader_finds(text: str) -> None:
    lines = key_lines(text.replace("\r\n", "\n"))
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    assert set(lines) == paths_of(document)


CORPUS = {
    "a quoted key with dots": ('"a.b".c = 1', {("a.b",): 1, ("a.b", "c"): 1}),
    "escapes in a key": (r'"\u0061\t\"" = 1', {('a\t"',): 1}),
    "a text that looks like a table": ("a = '''\n[b]\nc = 1\n'''\nd = 2", {("a",): 1, ("d",): 5}),
    "quotes at the end of a long text": ('a = """x"""""\nb = 1', {("a",): 1, ("b",): 2}),
    "an escaped quote before the end": ('a = """\\""""\nb = 1', {("a",): 1, ("b",): 2}),
    "a table implied before its own header": (
        "[a.b]\n[a]\nc = 1",
        {("a",): 2, ("a", "b"): 1, ("a", "c"): 3},
    ),
    "a table in a list of tables": (
        "[[a]]\n[a.b]\nc = 1\n[[a]]\n[[a.d]]",
        {
            ("a",): 1,
            ("a", 0): 1,
            ("a", 0, "b"): 2,
            ("a", 0, "b", "c"): 3,
            ("a", 1): 4,
            ("a", 1, "d"): 5,
            ("a", 1, "d", 0): 5,
        },
    ),
    "a date with a space in it": (
        "a = [1979-05-27 07:32:00, 2]",
        {("a",): 1, ("a", 0): 1, ("a", 1): 1},
    ),
    "a list over several lines": (
        "a = [ # one\n  1,\n\n  [2],\n]",
        {("a",): 1, ("a", 0): 2, ("a", 1): 4, ("a", 1, 0): 4},
    ),
    "nothing at all": ("", {}),
    "comments alone": ("# a = 1\n  # b = 2", {}),
}


@pytest.mark.parametrize("case", CORPUS)
def test_keys_have_the_lines_that_a_reader_would_point_at(case: str) -> None:
    text, lines = CORPUS[case]
    assert key_lines(text) == lines
    assert set(lines) == paths_of(tomllib.loads(text))


def test_what_stands_before_a_place_that_is_not_toml_still_has_its_lines() -> None:
    assert key_lines("a = 1\nb = \nc = 2") == {("a",): 1, ("b",): 2}


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 100_000,
        "a = " + "{a=" * 100_000,
        "[" + ".".join("a" * 100_000) + "]",
        ".".join("a" * 100_000) + " = 1",
    ],
    ids=["lists", "inline tables", "a header", "a dotted key"],
)
def test_nesting_beyond_the_bound_is_refused_with_its_line(text: str) -> None:
    with pytest.raises(TooMuchError) as caught:
        key_lines("# deep\n" + text)
    assert caught.value.line == 2
    assert str(DEEPEST) in caught.value.found


def test_a_number_of_too_many_digits_is_refused_with_its_line() -> None:
    with pytest.raises(TooMuchError) as caught:
        key_lines("a = 1\nb = " + "1" * (LONGEST_NUMBER + 1))
    assert caught.value.line == 2
