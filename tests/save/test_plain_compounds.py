"""Lists of compounds are passed over by a pattern just as they are walked tag by tag."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.base.limits import Limits
from analyzer.save.nbt import walker
from analyzer.save.nbt.plain_compounds import pass_compounds
from analyzer.save.nbt.walker import LIST, Cursor, WalkError

_NAMES = st.binary(max_size=45)
_NUMBERS = {1: 1, 2: 2, 3: 4, 4: 8, 5: 4, 6: 8, 7: 0}


def text(value: bytes) -> bytes:
    return struct.pack(">H", len(value)) + value


@st.composite
def entries(draw: st.DrawFn) -> bytes:
    """A compound's entry: a text, a number, a compound of texts, or an array."""
    name = text(draw(_NAMES))
    match draw(st.integers(0, 3)):
        case 0:
            return b"\x08" + name + text(draw(_NAMES))
        case 1:
            tag = draw(st.sampled_from(sorted(_NUMBERS)))
            width = _NUMBERS[tag] or 6
            value = draw(st.binary(min_size=width, max_size=width))
            return bytes([tag]) + name + (value if tag < 7 else b"\0\0\0\2" + value[:2])
        case 2:
            texts = draw(st.lists(st.tuples(_NAMES, _NAMES), max_size=3))
            inner = b"".join(b"\x08" + text(key) + text(value) for key, value in texts)
            return b"\x0a" + name + inner + b"\0"
        case _:
            return b"\x0a" + name + b"\x0a" + name + b"\x01" + name + b"?\0\0"


COMPOUNDS = st.lists(entries(), max_size=4).map(lambda found: b"".join(found) + b"\0")


def outcomes(data: bytes, limits: Limits) -> Iterator[tuple[object, ...]]:
    """Skip a list by the pattern and without it."""
    for found in (pass_compounds, lambda data, at, count: (at, count)):
        cursor = Cursor(data, limits)
        with mock.patch.object(walker, "pass_compounds", found):
            try:
                cursor.skip(LIST)
            except WalkError as error:
                yield type(error), str(error)
            else:
                yield (cursor.at,)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(COMPOUNDS, max_size=20), st.integers(-2, 2), st.binary(max_size=12), st.data())
def test_a_list_ends_where_walking_it_ends(
    compounds: list[bytes], more: int, after: bytes, draw: st.DataObject
) -> None:
    """Also where the list is longer or shorter than it says, or its bytes are spoilt."""
    count = max(0, len(compounds) + more)
    data = bytearray(b"\x0a" + struct.pack(">i", count) + b"".join(compounds) + after)
    for _ in range(draw.draw(st.integers(0, 2))):
        data[draw.draw(st.integers(5, len(data) - 1)) if len(data) > 5 else 4] = draw.draw(
            st.integers(0, 255)
        )
    by_pattern, by_walk = outcomes(bytes(data), Limits())
    assert by_pattern == by_walk


@pytest.mark.parametrize("limits", [Limits(tags=40), Limits(depth=1), Limits(depth=2)])
def test_limits_are_kept_where_the_pattern_would_pass(limits: Limits) -> None:
    state = b"\x0a\x00\x01p\x08\x00\x01k\x00\x01v\x00\x00"
    data = b"\x0a" + struct.pack(">i", 20) + 20 * state
    by_pattern, by_walk = outcomes(data, limits)
    assert by_pattern == by_walk
    assert len(by_walk) == 2


def test_runs_of_every_length_are_passed() -> None:
    state = b"\x08\x00\x04Name\x00\x0dminecraft:air\x00"
    for count in range(40):
        assert pass_compounds(count * state + b"\x01", 0, count + 1) == (count * len(state), 1)
        assert pass_compounds(count * state, 0, count) == (count * len(state), 0)
