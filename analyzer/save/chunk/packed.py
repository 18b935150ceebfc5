"""Palette indices packed into 64-bit words, by the two rules the format has had.

Up to 20w16a (data version 2526) an index may span two words; from 20w17a (2529) on it never does,
and the top bits of a word may be unused. Cells are numbered 256 y + 16 z + x within their section.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from analyzer.save.nbt.damage import DamageError

# A process that meets few parts does without numpy.
if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

#: Cells of a section: 16 × 16 × 16.
CELLS: Final = 4096

#: First data version whose indices do not span words.
FIRST_UNSPANNED: Final = 2529

_WORD_BITS: Final = 64
_LEAST_BITS: Final = 4
# 4096 hexadecimal digits of 1, of 7 and of 8.
_ONES: Final = int("1" * CELLS, 16)
_LOWER: Final = 7 * _ONES
_UPPER: Final = 8 * _ONES
# More bits than any palette of 4096 cells can need; wide enough for what tools have written.
_MOST_BITS: Final = 32


@dataclass(frozen=True)
class Packing:
    """How a section's indices lie in its words."""

    bits: int
    spanning: bool


def find_packing(*, words: int, palette: int, spanning: bool) -> Packing:
    """Return the packing of a section.

    Parameters
    ----------
    words
        Number of 64-bit words.
    palette
        Number of palette entries, at least 1.
    spanning
        Whether indices may span words. Their width then follows from the number of words alone,
        since some programs pack tighter than the game does; otherwise it follows from the palette,
        unless the number of words says that another one was used.

    Raises
    ------
    DamageError
        Where no width fits, or more than one.

    >>> find_packing(words=342, palette=17, spanning=False)
    Packing(bits=5, spanning=False)
    """
    if spanning:
        bits, rest = divmod(words * _WORD_BITS, CELLS)
        if rest or not 1 <= bits <= _MOST_BITS:
            raise _misfit(words, palette)
        return Packing(bits, spanning=True)
    bits = max(_LEAST_BITS, (palette - 1).bit_length())
    if words != _words(bits):
        fitting = [width for width in range(1, _MOST_BITS + 1) if _words(width) == words]
        if len(fitting) != 1:
            raise _misfit(words, palette)
        (bits,) = fitting
    return Packing(bits, spanning=False)


def index_at(data: bytes, at: int, cell: int, packing: Packing) -> int:
    """Return one cell's palette index.

    Parameters
    ----------
    data, at
        A buffer, and where the words stand in it.
    cell
        The cell's number in its section, 0 to 4095.
    packing
        As `find_packing` gives it for the number of words that stand there.
    """
    bits = packing.bits
    if bits == _LEAST_BITS:
        # Half a byte each, in nearly every section.
        return data[at + (cell >> 1 ^ 7)] >> 4 * (cell & 1) & 15
    if packing.spanning:
        word, shift = divmod(cell * bits, _WORD_BITS)
    else:
        word, place = divmod(cell, _WORD_BITS // bits)
        shift = place * bits
    start = at + 8 * word
    value = int.from_bytes(data[start : start + 8], "big") >> shift
    if shift + bits > _WORD_BITS:
        value |= int.from_bytes(data[start + 8 : start + 16], "big") << (_WORD_BITS - shift)
    return value & ((1 << bits) - 1)


def count_indices(
    data: bytes, at: int, words: int, packing: Packing, *, palette: int, counted: Iterable[int]
) -> int | None:
    """Count the cells that have one of some palette indices, without unpacking them.

    None where that cannot be done: indices of four bits alone can be read off as they are, and
    none may lie outside the palette.

    Parameters
    ----------
    data, at, words, packing
        As for `unpack_indices`.
    palette
        Number of palette entries, at least 1.
    counted
        Indices of the palette, each once; it takes the longer, the more cells have them.
    """
    if packing.bits != _LEAST_BITS:
        return None
    stored = data[at : at + 8 * words]
    if not _lie_within(int.from_bytes(stored), palette):
        return None
    count = stored.hex().count
    return sum(count(f"{index:x}") for index in counted)


def _lie_within(digits: int, most: int) -> bool:
    """Return whether all of 4096 hexadecimal digits are less than some number."""
    if most >= 16:
        return True
    # Whether a digit's lower three bits reach the number's shows in its upper bit, for all at once.
    reached = (digits & _LOWER) + (-most & 7) * _ONES
    return not (digits | reached if most <= 8 else digits & reached) & _UPPER


def unpack_indices(data: bytes, at: int, words: int, packing: Packing) -> npt.NDArray[np.int64]:
    """Return the palette indices of all cells, shape (4096,), in the order of cells."""
    import numpy as np

    stored = np.frombuffer(data, ">u8", count=words, offset=at).astype(np.uint64)
    bits = packing.bits
    if packing.spanning:
        first = np.arange(CELLS, dtype=np.int64) * bits
        word, shift = first // _WORD_BITS, (first % _WORD_BITS).astype(np.uint64)
        fields = stored[word] >> shift
        over = shift + np.uint64(bits) > _WORD_BITS
        fields[over] |= stored[word[over] + 1] << (np.uint64(_WORD_BITS) - shift[over])
    else:
        shifts = np.arange(_WORD_BITS // bits, dtype=np.uint64) * np.uint64(bits)
        fields = (stored[:, None] >> shifts).reshape(-1)[:CELLS]
    indices: npt.NDArray[np.int64] = (fields & np.uint64((1 << bits) - 1)).astype(np.int64)
    return indices


def _words(bits: int) -> int:
    return -(-CELLS // (_WORD_BITS // bits))


def _misfit(words: int, palette: int) -> DamageError:
    return DamageError(
        "bad-packed-array",
        f"{words:,} words cannot hold the indices of a palette of {palette:,} entries",
    )
