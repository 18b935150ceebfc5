"""Find sites (cells that parts fill with a port) by position: whole arrays of positions at once."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt


class SiteIndex:
    """Sites by dimension and position; several may share one.

    Parameters
    ----------
    dimension
        Index of each site's dimension, shape (n,).
    xyz
        Position of each site, shape (n, 3). No sites are allowed.

    Notes
    -----
    One 63-bit key a position where the world's extent allows it, which real worlds do; else the
    columns are ranked one after the other. A look-up of m positions costs m binary searches.
    """

    def __init__(self, dimension: npt.NDArray[Any], xyz: npt.NDArray[Any]) -> None:
        columns = [np.ascontiguousarray(column) for column in (dimension, *xyz.T)]
        # A margin of one on each side keeps a neighbour just outside from wrapping into a key.
        lows = [int(column.min(initial=0)) - 1 for column in columns]
        spans = [
            int(column.max(initial=0)) - low + 2 for column, low in zip(columns, lows, strict=True)
        ]
        groups = [[0, 1, 2, 3]] if math.prod(spans) < 2**63 else [[0, 1], [2], [3]]
        self._dimension, self._xyz = dimension, xyz
        self._lows, self._spans, self._groups = lows, spans, groups
        self._ranks: list[npt.NDArray[np.int64]] = []
        rank: npt.NDArray[np.int64] | None = None
        for group in groups[:-1]:
            keys, rank = np.unique(self._key(rank, columns, group), return_inverse=True)
            rank = rank.reshape(-1)
            self._ranks.append(keys)
        last = self._key(rank, columns, groups[-1])
        # Sites mostly come sorted, as parts are.
        ascending = bool((last[1:] >= last[:-1]).all())
        self._order = None if ascending else np.argsort(last, kind="stable")
        self._keys = last if self._order is None else last[self._order]
        self._key_of_site = last
        self._shared = bool((self._keys[1:] == self._keys[:-1]).any())

    def pairs_at(
        self, dimension: npt.NDArray[Any], xyz: npt.NDArray[Any]
    ) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        """Return every pair of an asked position and a site there.

        Parameters
        ----------
        dimension
            Index of the dimension, shape (m,).
        xyz
            Positions asked for, shape (m, 3).

        Returns
        -------
        asked, site
            Numbers of the position and of the site, int64; ascending by position, then site.
        """
        if not len(self._keys):
            return np.empty(0, np.int64), np.empty(0, np.int64)
        columns = [dimension, *xyz.T]
        inside = np.ones(len(dimension), bool)
        for column, low, span in zip(columns, self._lows, self._spans, strict=True):
            inside &= (column >= low) & (column < low + span)
        rank: npt.NDArray[np.int64] | None = None
        for keys, group in zip(self._ranks, self._groups, strict=False):
            key = self._key(rank, columns, group)
            rank = np.minimum(np.searchsorted(keys, key), len(keys) - 1)
            inside &= keys[rank] == key
        return self._sites_with(self._key(rank, columns, self._groups[-1]), inside)

    def pairs_beside(
        self, site: npt.NDArray[np.int64], offset: tuple[int, int, int]
    ) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        """Return every pair of one of some sites and a site at an offset from it.

        Parameters
        ----------
        site
            Numbers of sites, shape (m,).
        offset
            At most one block along each axis.

        Returns
        -------
        site, found
            Numbers of a site and of one found beside it, int64; ascending where the sites asked
            for are.
        """
        if len(self._groups) > 1:
            there = self._xyz[site].astype(np.int64) + np.array(offset)
            asked, found = self.pairs_at(self._dimension[site], there)
        else:
            # Keys are linear in the position, and the margin holds what lies one block outside.
            x, y, z = offset
            step = (x * self._spans[2] + y) * self._spans[3] + z
            asked, found = self._sites_with(self._key_of_site[site] + step)
        return site[asked], found

    def _sites_with(
        self, key: npt.NDArray[np.int64], inside: npt.NDArray[np.bool_] | None = None
    ) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        first = np.searchsorted(self._keys, key)
        here = self._keys[np.minimum(first, len(self._keys) - 1)] == key
        asked = np.flatnonzero(here if inside is None else here & inside)
        site = first[asked]
        if self._shared:
            count = np.searchsorted(self._keys, key[asked], side="right") - site
            ends = np.cumsum(count)
            asked, site = np.repeat(asked, count), np.repeat(site - ends + count, count)
            site += np.arange(len(site))
        return asked, site if self._order is None else self._order[site]

    def _key(
        self,
        rank: npt.NDArray[np.int64] | None,
        columns: list[npt.NDArray[Any]],
        group: list[int],
    ) -> npt.NDArray[np.int64]:
        key = rank.copy() if rank is not None else np.zeros(1, np.int64)
        for number in group:
            key = key * self._spans[number] + columns[number]
            key -= self._lows[number]
        return key
