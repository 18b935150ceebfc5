"""Find parts by position: whole arrays of positions at once."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from analyzer.parts.parts import Parts


class PositionIndex:
    """The rows of parts by dimension and position.

    Parameters
    ----------
    parts
        Sorted by dimension and position, as `Parts` always is; may be empty.

    Notes
    -----
    One 63-bit key a position where the world's extent allows it, which real worlds do; else the
    columns are ranked one after the other. A look-up of m positions costs m binary searches.
    """

    def __init__(self, parts: Parts) -> None:
        columns = [parts.dimension.astype(np.int64), *parts.xyz.astype(np.int64).T]
        # A margin of one on each side keeps a neighbour just outside from wrapping into a key.
        lows = [int(column.min(initial=0)) - 1 for column in columns]
        spans = [
            int(column.max(initial=0)) - low + 2 for column, low in zip(columns, lows, strict=True)
        ]
        groups = [[0, 1, 2, 3]] if math.prod(spans) < 2**63 else [[0, 1], [2], [3]]
        self._lows, self._spans, self._groups = lows, spans, groups
        self._levels: list[npt.NDArray[np.int64]] = []
        rank = np.zeros(len(parts), np.int64)
        for group in groups[:-1]:
            keys, rank = np.unique(self._key(rank, columns, group), return_inverse=True)
            rank = rank.reshape(-1)
            self._levels.append(keys)
        # Parts are sorted and no two share a position: the last keys ascend, and rank is row.
        self._levels.append(self._key(rank, columns, groups[-1]))

    def rows_at(
        self, dimension: npt.NDArray[np.int64], xyz: npt.NDArray[np.int64]
    ) -> npt.NDArray[np.int64]:
        """Return the row of the part at each position, -1 where there is none.

        Parameters
        ----------
        dimension
            Index of the dimension, int64, shape (m,).
        xyz
            Positions, int64, shape (m, 3).

        Returns
        -------
        rows
            int64, shape (m,).
        """
        columns = [dimension, *xyz.T]
        inside = np.ones(len(dimension), bool)
        for column, low, span in zip(columns, self._lows, self._spans, strict=True):
            inside &= (column >= low) & (column < low + span)
        rank = np.zeros(len(dimension), np.int64)
        for keys, group in zip(self._levels, self._groups, strict=True):
            if not len(keys):
                return np.full(len(dimension), -1, np.int64)
            key = self._key(rank, columns, group)
            rank = np.minimum(np.searchsorted(keys, key), len(keys) - 1)
            inside &= keys[rank] == key
        return np.where(inside, rank, -1)

    def _key(
        self,
        rank: npt.NDArray[np.int64],
        columns: list[npt.NDArray[np.int64]],
        group: list[int],
    ) -> npt.NDArray[np.int64]:
        key = rank.copy()
        for number in group:
            key *= self._spans[number]
            key += columns[number] - self._lows[number]
        return key
