"""Read-only tables of arrays: what stages hand on where a world has millions of rows."""

from __future__ import annotations

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
        Integer arrays of shape (n,).

    Returns
    -------
    rows, number
        The distinct rows, shape (m, columns), in lexicographic order, and for each of the n rows
        the number of its distinct row. An empty input gives two empty arrays.
    """
    if not len(columns[0]):
        return np.empty((0, len(columns)), np.int64), np.empty(0, np.int64)
    order = np.lexsort(columns[::-1])
    table = np.stack([column[order].astype(np.int64) for column in columns], axis=1)
    fresh = np.empty(len(order), bool)
    fresh[0] = True
    np.any(table[1:] != table[:-1], axis=1, out=fresh[1:])
    number = np.empty(len(order), np.int64)
    number[order] = np.cumsum(fresh) - 1
    return table[fresh], number
