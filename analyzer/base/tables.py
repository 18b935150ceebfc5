"""Read-only tables of arrays: what stages hand on where a world has millions of rows."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import Any, Final, Generic, TypeVar

import numpy as np
import numpy.typing as npt

Item = TypeVar("Item", bound=Hashable)
Scalar = TypeVar("Scalar", bound=np.generic)
#: Different rows for which a table is never too large, whatever the number of rows.
_SMALL: Final = 65_536


def frozen(array: npt.NDArray[Scalar]) -> npt.NDArray[Scalar]:
    """Return the array itself, marked read-only."""
    array.flags.writeable = False
    return array


class Interner(Generic[Item]):
    """Numbers equal items alike, in order of their first appearance.

    >>> seen = Interner(["shaft"])
    >>> seen("gear"), seen("shaft"), seen.items
    (1, 0, ('shaft', 'gear'))
    """

    def __init__(self, items: Iterable[Item] = ()) -> None:
        self._numbers: dict[Item, int] = {}
        for item in items:
            self(item)

    def __call__(self, item: Item) -> int:
        """Return the item's number, a fresh one for a new item."""
        return self._numbers.setdefault(item, len(self._numbers))

    @property
    def items(self) -> tuple[Item, ...]:
        """The items by number."""
        return tuple(self._numbers)


def unique_rows(
    *columns: npt.NDArray[Any],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Find the distinct rows of some integer columns of equal length.

    Parameters
    ----------
    columns
        At least one integer array of shape (n,).

    Returns
    -------
    rows, number
        The distinct rows, shape (m, columns), int64, in lexicographic order, and for each of the
        n rows the number of its distinct row, int64. An empty input gives two empty arrays.

    Notes
    -----
    Where few different rows are possible this costs no sort but one pass. Else the leading columns
    of which that is true are numbered first, and then the rows of these numbers and the other
    columns: where they fit in 63 bits, by one sort of n integers, and else in halves.

    >>> rows, number = unique_rows(np.array([2, 1, 2]), np.array([0, 5, 0]))
    >>> rows.tolist(), number.tolist()
    ([[1, 5], [2, 0]], [1, 0, 1])
    """
    if not len(columns[0]):
        return np.empty((0, len(columns)), np.int64), np.empty(0, np.int64)
    packing = _Packing.of(columns)
    few = packing.leading(max(4 * len(columns[0]), _SMALL))
    if 1 < few < len(columns):
        # Mostly far fewer rows occur than are possible: their numbers leave room for the rest.
        heads, head = unique_rows(*columns[:few])
        rows, number = unique_rows(head, *columns[few:])
        return np.concatenate([heads[rows[:, 0]], rows[:, 1:]], axis=1), number
    if not packing.fits:
        return _unique_by_halves(columns)
    key = packing.pack(columns)
    if few == len(columns):
        there = np.zeros(packing.size, bool)
        there[key] = True
        number = (np.cumsum(there) - 1)[key]
        return packing.unpack(np.flatnonzero(there)), number
    # Rows mostly come as ascending runs, which this kind of sort merges.
    order = np.argsort(key, kind="stable")
    key = key[order]
    fresh = _differs(key)
    return packing.unpack(key[fresh]), _numbers(order, fresh)


def distinct_rows(*columns: npt.NDArray[Any]) -> tuple[npt.NDArray[Any], ...]:
    """Return the distinct rows of some integer columns, in lexicographic order, as columns.

    Each column keeps its type; where they are in that order already, they are returned themselves.
    This costs less than `unique_rows`, which numbers the rows too.

    >>> [column.tolist() for column in distinct_rows(np.array([2, 1, 2]), np.array([0, 5, 0]))]
    [[1, 2], [5, 0]]
    """
    if not len(columns[0]):
        return columns
    packing = _Packing.of(columns)
    if not packing.fits:
        table = unique_rows(*columns)[0]
        return tuple(
            values.astype(column.dtype) for values, column in zip(table.T, columns, strict=True)
        )
    key = packing.pack(columns)
    if (key[1:] > key[:-1]).all():
        return columns
    # Rows mostly come as a few ascending runs, which this kind of sort merges.
    key.sort(kind="stable")
    fresh = _differs(key)
    if not fresh.all():
        key = key[fresh]
    return tuple(
        values.astype(column.dtype)
        for values, column in zip(packing.iter_unpacked(key), columns, strict=True)
    )


def count_rows(
    groups: int, group: npt.NDArray[Any], *columns: npt.NDArray[Any]
) -> npt.NDArray[np.int64]:
    """Return how many distinct rows of some integer columns each group has, shape (groups,).

    Parameters
    ----------
    groups
        How many groups there are.
    group, columns
        The group of each row, and the row, shape (n,) each.

    Notes
    -----
    One pass, and one sort of the rows that differ from the row before.

    >>> count_rows(3, np.array([0, 0, 2, 0]), np.array([5, 5, 5, 6])).tolist()
    [2, 0, 1]
    """
    fresh = np.ones(len(group), bool)
    fresh[1:] = group[1:] != group[:-1]
    for column in columns:
        fresh[1:] |= column[1:] != column[:-1]
    grouped, *_ = distinct_rows(group[fresh], *(column[fresh] for column in columns))
    return np.bincount(grouped, minlength=groups)


def order_of_rows(*columns: npt.NDArray[Any]) -> npt.NDArray[np.int64]:
    """Return the order that sorts the rows of some integer columns; equal rows keep theirs.

    It is that of ``np.lexsort`` with the columns the other way round. Where the rows fit in 63
    bits it costs one sort of n integers; else a sort by each column.

    >>> order_of_rows(np.array([2, 1, 2]), np.array([0, 5, -3])).tolist()
    [1, 2, 0]
    """
    if not len(columns[0]):
        return np.empty(0, np.int64)
    packing = _Packing.of(columns)
    order: npt.NDArray[np.int64] = (
        np.argsort(packing.pack(columns), kind="stable")
        if packing.fits
        else np.lexsort(columns[::-1])
    )
    return order


@dataclass(frozen=True)
class _Packing:
    """How the rows of some columns become one integer each, in lexicographic order."""

    lows: tuple[int, ...]
    bits: tuple[int, ...]

    @staticmethod
    def of(columns: tuple[npt.NDArray[Any], ...]) -> _Packing:
        lows = tuple(int(column.min()) for column in columns)
        bits = tuple(
            (int(column.max()) - low).bit_length()
            for column, low in zip(columns, lows, strict=True)
        )
        return _Packing(lows, bits)

    @property
    def size(self) -> int:
        """How many different rows can be written."""
        return 1 << sum(self.bits)

    def leading(self, size: int) -> int:
        """Return how many leading columns have at most so many different rows."""
        return sum(1 << bits <= size for bits in accumulate(self.bits))

    @property
    def fits(self) -> bool:
        return sum(self.bits) < 63

    def pack(self, columns: tuple[npt.NDArray[Any], ...]) -> npt.NDArray[np.int64]:
        key = np.zeros(len(columns[0]), np.int64)
        empty = True
        for column, low, bits in zip(columns, self.lows, self.bits, strict=True):
            if not bits:
                continue
            if not empty:
                key <<= bits
            key += column
            if low:
                key -= low
            empty = False
        return key

    def unpack(self, keys: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
        rows = np.empty((len(keys), len(self.bits)), np.int64, order="F")
        for place, column in enumerate(self.iter_unpacked(keys)):
            rows[:, place] = column
        return rows

    def iter_unpacked(self, keys: npt.NDArray[np.int64]) -> Iterator[npt.NDArray[np.int64]]:
        below = sum(self.bits)
        for low, bits in zip(self.lows, self.bits, strict=True):
            below -= bits
            column = keys >> below
            column &= (1 << bits) - 1
            column += low
            yield column


def _unique_by_halves(
    columns: tuple[npt.NDArray[Any], ...],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Number the rows of either half of the columns, then the pairs of these numbers."""
    if len(columns) == 1:
        values, number = np.unique(columns[0].astype(np.int64), return_inverse=True)
        return values[:, None], number.reshape(-1)
    half = len(columns) // 2
    left, of_left = unique_rows(*columns[:half])
    right, of_right = unique_rows(*columns[half:])
    pairs, number = unique_rows(of_left, of_right)
    return np.concatenate([left[pairs[:, 0]], right[pairs[:, 1]]], axis=1), number


def _differs(key: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:
    """Tell which keys differ from the one before; the first does."""
    fresh = np.ones(len(key), bool)
    np.not_equal(key[1:], key[:-1], out=fresh[1:])
    return fresh


def _numbers(order: npt.NDArray[np.int64], fresh: npt.NDArray[np.bool_]) -> npt.NDArray[np.int64]:
    """Number rows, given their order and which of them in that order are new."""
    number = np.empty(len(order), np.int64)
    number[order] = np.cumsum(fresh) - 1
    return number
