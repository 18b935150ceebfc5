"""Packed indices against a packer that goes bit by bit."""

from __future__ import annotations

import random
import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.save.chunk.packed import (
    Packing,
    count_indices,
    find_packing,
    index_at,
    unpack_indices,
)
from analyzer.save.nbt.damage import DamageError
from tests.save.chunks import pack

BITS = st.integers(1, 15)


@given(bits=BITS, spanning=st.booleans(), seed=st.integers(0, 9999))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_every_cell_is_found_where_it_was_packed(bits: int, spanning: bool, seed: int) -> None:
    chance = random.Random(seed)
    indices = [chance.randrange(1 << bits) for _ in range(4096)]
    words = pack(indices, bits, spanning=spanning)
    data = b"before" + struct.pack(f">{len(words)}q", *words) + b"after"
    packing = Packing(bits, spanning=spanning)
    assert unpack_indices(data, 6, len(words), packing).tolist() == indices
    for cell in (0, 1, 63, 64, 4095, *(chance.randrange(4096) for _ in range(60))):
        assert index_at(data, 6, cell, packing) == indices[cell]


@pytest.mark.parametrize("palette", [1, 2, 16, 17, 32, 33, 100, 129, 512, 2049, 4096])
@pytest.mark.parametrize("spanning", [False, True])
def test_the_width_that_the_game_uses_is_found(palette: int, spanning: bool) -> None:
    bits = max(4, (palette - 1).bit_length())
    words = len(pack([0] * 4096, bits, spanning=spanning))
    found = find_packing(words=words, palette=palette, spanning=spanning)
    assert found == Packing(bits, spanning=spanning)


@pytest.mark.parametrize("bits", [1, 2, 3, 4])
@pytest.mark.parametrize("spanning", [False, True])
def test_a_tighter_packing_than_the_games_is_understood(bits: int, spanning: bool) -> None:
    words = len(pack([0] * 4096, bits, spanning=spanning))
    found = find_packing(words=words, palette=2, spanning=spanning)
    assert found == Packing(bits, spanning=spanning)


@pytest.mark.parametrize(
    ("words", "palette", "spanning"),
    [
        (0, 2, False),
        (0, 2, True),
        (257, 2, False),
        (257, 2, True),
        (100_000, 2, True),
        # Widths of 11 and 12 need equally many words; neither may be guessed.
        (820, 5, False),
    ],
)
def test_words_that_fit_no_width_or_several_are_refused(
    words: int, palette: int, spanning: bool
) -> None:
    with pytest.raises(DamageError, match="bad-packed-array"):
        find_packing(words=words, palette=palette, spanning=spanning)


def test_the_palette_decides_between_widths_of_equally_many_words() -> None:
    assert find_packing(words=820, palette=2048, spanning=False).bits == 11
    assert find_packing(words=820, palette=2049, spanning=False).bits == 12


@pytest.mark.parametrize("spanning", [True, False])
@pytest.mark.parametrize("bits", [4, 5, 8])
def test_indices_of_four_bits_are_counted_without_unpacking(bits: int, spanning: bool) -> None:
    chance = random.Random(bits)
    indices = [chance.choice([0, 0, 0, 3, 7, 15]) for _ in range(4096)]
    words = pack(indices, bits, spanning=spanning)
    data = b"??" + struct.pack(f">{len(words)}q", *words) + b"??"
    for counted in ([], [0], [3, 7], [15], [1, 2, 15]):
        count = count_indices(
            data, 2, len(words), Packing(bits, spanning), palette=16, counted=counted
        )
        assert count == (sum(map(indices.count, counted)) if bits == 4 else None)


@pytest.mark.parametrize("palette", range(1, 18))
def test_indices_outside_a_palette_are_not_counted(palette: int) -> None:
    packing = Packing(4, spanning=False)
    for index in range(16):
        for cell in (0, 15, 16, 2049, 4095):
            indices = [min(index, palette - 1)] * 4096
            indices[cell] = index
            words = pack(indices, 4, spanning=False)
            data = struct.pack(f">{len(words)}q", *words)
            count = count_indices(data, 0, 256, packing, palette=palette, counted=[indices[1]])
            assert count == (indices.count(indices[1]) if index < palette else None)
