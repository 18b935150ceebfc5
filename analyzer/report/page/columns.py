"""Columns of integers as short text: what a page of a hundred thousand parts is carried in.

A column is coded in one of three ways, whichever is shortest: *plain*, its numbers; *delta*, each
number less the one before it (the first less 0); *runs*, each number that differs from the one
before it, then how often it stands. Numbers are then folded so that none is negative (n ≥ 0
becomes 2n, any other −2n − 1), written in base 128 with the low digits first and the high bit set
on all digits but the last, and the bytes written in base 64.

Source: the folding and the digits are those of the *zigzag* and *LEB128* codes, common practice.
"""

from __future__ import annotations

import base64
from typing import Any, Final

import numpy as np
import numpy.typing as npt

#: Ways in which a column may be coded, the first of several that are as short being taken.
CODES: Final = ("plain", "delta", "runs")


def coded(column: npt.NDArray[np.integer[Any]]) -> dict[str, str]:
    """Return a column as its code and its text.

    Parameters
    ----------
    column
        Integers within ±2^51, shape (n,); none gives an empty text.

    >>> coded(np.array([5, 5, 5, 5, -1]))
    {'code': 'runs', 'data': 'CggBAg=='}
    """
    numbers = column.astype(np.int64)
    forms = (numbers, np.diff(numbers, prepend=0), _runs(numbers))
    texts = [_digits(form) for form in forms]
    shortest = min(range(len(CODES)), key=lambda way: len(texts[way]))
    return {"code": CODES[shortest], "data": base64.b64encode(texts[shortest]).decode("ascii")}


def _runs(numbers: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    starts = np.flatnonzero(np.diff(numbers, prepend=numbers[:1] - 1))
    lengths = np.diff(starts, append=len(numbers))
    pairs: npt.NDArray[np.int64] = np.stack([numbers[starts], lengths], axis=1).reshape(-1)
    return pairs


def _digits(numbers: npt.NDArray[np.int64]) -> bytes:
    folded = np.where(numbers >= 0, 2 * numbers, -2 * numbers - 1)
    size = np.ones(len(folded), np.int64)
    for digits in range(1, 8):
        size += folded >= 1 << 7 * digits
    begin = np.cumsum(size) - size
    written = np.zeros(int(size.sum()), np.uint8)
    for digit in range(int(size.max(initial=0))):
        some = size > digit
        more = np.where(size[some] > digit + 1, 0x80, 0)
        written[begin[some] + digit] = folded[some] >> 7 * digit & 0x7F | more
    return written.tobytes()
