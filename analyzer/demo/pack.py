"""Packing a section's palette indices into 64-bit integers, in both of the game's ways."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

#: Blocks in a section: 16 × 16 × 16.
CELLS = 4096


def index_bits(palette_length: int) -> int:
    """Return how many bits one index takes: at least 4.

    >>> [index_bits(length) for length in (1, 16, 17, 4096)]
    [4, 4, 5, 12]
    """
    return max(4, (palette_length - 1).bit_length())


def pack_indices(
    indices: npt.NDArray[np.uint16], *, bits: int, spans_longs: bool
) -> npt.NDArray[np.int64]:
    """Pack indices of `bits` bits each, the first in the lowest bits.

    Parameters
    ----------
    indices
        Palette indices, each below ``2 ** bits``, shape (n,).
    bits
        Width of an index.
    spans_longs
        Whether an index may begin in one integer and end in the next (data version below 2529);
        otherwise the bits left over at the top of each integer are zero.

    Returns
    -------
    ndarray of int64
        The integers; none for no indices.

    >>> indices = np.array([1, 2, 3], np.uint16)
    >>> [hex(n) for n in pack_indices(indices, bits=5, spans_longs=False).tolist()]
    ['0xc41']
    """
    if spans_longs:
        places = np.arange(bits, dtype=np.uint16)
        each = ((indices[:, None] >> places) & 1).astype(np.uint8).ravel()
        padded = np.zeros(-(-len(each) // 64) * 64, np.uint8)
        padded[: len(each)] = each
        return np.packbits(padded, bitorder="little").view("<i8").astype(np.int64)
    per_long = 64 // bits
    padded_indices = np.zeros(-(-len(indices) // per_long) * per_long, np.uint64)
    padded_indices[: len(indices)] = indices
    shifts = np.arange(per_long, dtype=np.uint64) * np.uint64(bits)
    longs: npt.NDArray[np.uint64] = np.bitwise_or.reduce(
        padded_indices.reshape(-1, per_long) << shifts, axis=1
    )
    return longs.view(np.int64)
