"""Read-only tables of arrays: what stages hand on where a world has millions of rows."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable
from typing import Any, Generic, TypeVar

import numpy as np
import numpy.typing as npt

Item = TypeVar("Item", bound=Hashable)
Scalar = TypeVar("Scalar", bound=np.generic)


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
    Where the rows fit in 63 bits this costs one sort of n integers, else a sort by each column.

    >>> rows, number = unique_rows(np.array([2, 1, 2]), np.array([0, 5, 0]))
    >>> rows.tolist(), number.tolist()
    ([[1, 5], [2, 0]], [1, 0, 1])
    """
    if not len(columns[0]):
        return np.empty((0, len(columns)), np.int64), np.empty(0, np.int64)
    lows = [int(column.min()) for column in columns]
    spans = [int(column.max()) - low + 1 for column, low in zip(columns, lows, strict=True)]
    if math.prod(spans) >= 2**63:
        return _unique_by_sorting(columns)
    key = np.zeros(len(columns[0]), np.int64)
    for column, low, span in zip(columns, lows, spans, strict=True):
        key *= span
        key += column.astype(np.int64) - low
    keys, number = np.unique(key, return_inverse=True)
    rows = np.empty((len(keys), len(columns)), np.int64)
    for place in range(len(columns) - 1, -1, -1):
        rows[:, place] = keys % spans[place] + lows[place]
        keys //= spans[place]
    return rows, number.reshape(-1)


def _unique_by_sorting(
    columns: tuple[npt.NDArray[Any], ...],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    order = np.lexsort(columns[::-1])
    table = np.stack([column[order].astype(np.int64) for column in columns], axis=1)
    fresh = np.empty(len(order), bool)
    fresh[0] = True
    np.any(table[1:] != table[:-1], axis=1, out=fresh[1:])
    number = np.empty(len(order), np.int64)
    number[order] = np.cumsum(fresh) - 1
    return table[fresh], number
