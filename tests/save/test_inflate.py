"""Streams that grow on demand."""

from __future__ import annotations

import random
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.save.damage import DamageError
from analyzer.save.inflate import open_stream
from tests.save.chunks import broken_after, compress

NOISE = random.Random(7).randbytes(200_000)
MIXED = NOISE[:5_000] + bytes(90_000) + NOISE[5_000:70_000]


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
@pytest.mark.parametrize("plain", [b"", b"q", MIXED, NOISE], ids=["none", "one", "mixed", "noise"])
def test_a_stream_grows_to_what_went_into_it(kind: int, plain: bytes) -> None:
    stream = open_stream(kind, compress(plain, kind), limit=1 << 20)
    size = 256
    while not stream.ended:
        before = stream.data
        stream.grow(size)
        assert stream.data.startswith(before)
        assert stream.ended or len(stream.data) >= size
        size *= 4
    assert stream.data == plain


@given(st.binary(max_size=3000), st.lists(st.integers(1, 900), min_size=1, max_size=20))
@settings(deadline=None, derandomize=True)
def test_the_steps_do_not_matter(plain: bytes, steps: list[int]) -> None:
    stream = open_stream(2, zlib.compress(plain), limit=10_000)
    for step in steps:
        stream.grow(len(stream.data) + step)
        assert plain.startswith(stream.data)
    stream.grow(10_000)
    assert (stream.data, stream.ended) == (plain, True)


def test_the_beginning_of_a_zlib_stream_comes_without_its_rest() -> None:
    stream = open_stream(2, zlib.compress(MIXED), limit=1 << 20)
    stream.grow(256)
    assert stream.data == MIXED[:256]
    assert not stream.ended


def test_damage_behind_what_was_asked_for_is_not_met() -> None:
    stream = open_stream(2, broken_after(NOISE), limit=1 << 20)
    stream.grow(1024)
    with pytest.raises(DamageError, match="bad-zlib-stream"):
        stream.grow(1 << 20)


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_the_limit_holds_and_is_allowed_itself(kind: int) -> None:
    payload = compress(MIXED, kind)
    open_stream(kind, payload, limit=len(MIXED)).grow(len(MIXED) + 1)
    with pytest.raises(DamageError, match="too-large"):
        open_stream(kind, payload, limit=len(MIXED) - 1).grow(len(MIXED) + 1)
