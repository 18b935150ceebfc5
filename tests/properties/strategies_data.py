"""Strategies for what a block entity stores, and a plain way to follow a path into it."""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from typing import Any

import nbtlib
from hypothesis import strategies as st

#: A path into a block entity: keys and indices.
Steps = tuple[str | int, ...]

#: nbtlib writes plain UTF-8, which is the format's own for all of these.
LETTERS = "abXY_. -\"'[]\\é木~"
KEYS = st.sampled_from(["a", "b", "X", "Y", "Rpm", "a.b", "a b", '"', "\\'", "[0]", "é木", "-~_"])
#: Decimals of so many digits are told apart by floats of four and eight bytes: FLT_DIG and DBL_DIG
#: of C. Of all decimals that read back as the same float none is shorter than such a one.
SINGLE_DIGITS, DOUBLE_DIGITS = 6, 15
ELEMENTS = {
    nbtlib.ByteArray: nbtlib.Byte,
    nbtlib.IntArray: nbtlib.Int,
    nbtlib.LongArray: nbtlib.Long,
}


def _integers(bits: int) -> st.SearchStrategy[int]:
    return st.sampled_from([0, 1, -1, 2 ** (bits - 1) - 1, -(2 ** (bits - 1))]) | st.integers(
        -(2 ** (bits - 1)), 2 ** (bits - 1) - 1
    )


def decimals(digits: int) -> st.SearchStrategy[float]:
    """Draw numbers that a decimal of so many digits gives, as the double next to it."""
    return st.builds(
        lambda mantissa, exponent: float(f"{mantissa}e{exponent}"),
        st.integers(1 - 10**digits, 10**digits - 1),
        st.integers(-8, 2),
    )


def single(value: float) -> float:
    """Return the float of four bytes next to a number."""
    return float(struct.unpack(">f", struct.pack(">f", value))[0])


SCALARS = {
    nbtlib.Byte: _integers(8).map(nbtlib.Byte),
    nbtlib.Short: _integers(16).map(nbtlib.Short),
    nbtlib.Int: _integers(32).map(nbtlib.Int),
    nbtlib.Long: _integers(64).map(nbtlib.Long),
    nbtlib.Float: decimals(SINGLE_DIGITS).map(single).map(nbtlib.Float),
    nbtlib.Double: st.floats(allow_nan=False).map(nbtlib.Double),
    nbtlib.String: st.text(LETTERS, max_size=5).map(nbtlib.String),
}
ARRAYS = st.one_of(
    st.lists(_integers(8), max_size=3).map(nbtlib.ByteArray),
    st.lists(_integers(32), max_size=3).map(nbtlib.IntArray),
    st.lists(_integers(64), max_size=3).map(nbtlib.LongArray),
)
LEAVES = st.one_of(*SCALARS.values(), ARRAYS)


def _compounds(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.dictionaries(KEYS, inner, max_size=3).map(nbtlib.Compound)


def _lists(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    items = st.one_of(*(st.lists(scalar, max_size=3) for scalar in SCALARS.values()))
    return (items | st.lists(_compounds(inner), max_size=2)).map(nbtlib.List)


TAGS = st.recursive(LEAVES, lambda inner: _compounds(inner) | _lists(inner), max_leaves=6)
#: What a block entity stores besides its id and place.
DATA = st.dictionaries(KEYS, TAGS, max_size=3)


def iter_paths(value: Any, steps: Steps = ()) -> Iterator[Steps]:
    """Yield every path that leads somewhere."""
    if steps:
        yield steps
    if isinstance(value, Mapping):
        inner = list(value.items())
    elif isinstance(value, nbtlib.List | nbtlib.Array):
        inner = list(enumerate(value))
    else:
        inner = []
    for step, item in inner:
        yield from iter_paths(item, (*steps, step))


def follow(value: Any, steps: Steps) -> Any:
    """Return the tag to which a path leads, or None."""
    for step in steps:
        inner = None
        if isinstance(value, Mapping):
            inner = value.get(step)
        elif isinstance(value, nbtlib.List) and isinstance(step, int) and step < len(value):
            inner = value[step]
        elif isinstance(value, nbtlib.Array) and isinstance(step, int) and step < len(value):
            inner = ELEMENTS[type(value)](value[step])
        if inner is None:
            return None
        value = inner
    return value
