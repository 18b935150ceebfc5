"""Streams that grow on demand."""

from __future__ import annotations

import random
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import open_stream
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


def _unheard_of() -> tuple[bytes, bytes]:
    """Return a zlib stream with a length code that RFC 1951, 3.2.6, calls one that never occurs.

    Of the libraries one takes it for the longest length, the other for damage.
    """
    # A final block of fixed codes: "a"; code 286, at a distance of 1; the end.
    bits = "1" + "10" + "10010001" + "11000110" + "00000" + "0000000"
    packed = bytes(int(bits[at : at + 8][::-1].ljust(1), 2) for at in range(0, len(bits), 8))
    plain = b"a" * 259
    return b"\x78\x01" + packed + zlib.adler32(plain).to_bytes(4, "big"), plain


@pytest.mark.parametrize("steps", [[1000], [1, 1000], [10**6], [1, 10**6]])
def test_what_one_library_can_read_is_read_whichever_is_asked_first(steps: list[int]) -> None:
    payload, plain = _unheard_of()
    with pytest.raises(zlib.error, match="invalid literal/length code"):
        zlib.decompress(payload)
    stream = open_stream(2, payload, limit=5000)
    for step in steps:
        stream.grow(step)
    assert (stream.data, stream.ended, stream.sealed) == (plain, True, True)
    spoilt = payload[:-1] + bytes([payload[-1] ^ 1])
    with pytest.raises(DamageError, match="bad-zlib-stream"):
        open_stream(2, spoilt, limit=5000).grow(1000 + steps[0])
