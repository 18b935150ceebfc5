"""The partners of links, as block entities store them.

A packed position has 64 bits. From data version 1952 on its fields are, from the highest bit, x (26
bits), z (26), y (12); before, x (26), y (12), z (26); each is signed. Source and the snapshots in
between: docs/save-format.md, Packed positions.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen
from analyzer.catalogue.bounds import LARGEST
from analyzer.catalogue.catalogue import DataPath, Field, Partner, PartType
from analyzer.catalogue.notes import key_text
from analyzer.parts.parts import Links, Unusable
from analyzer.parts.readings import Lookup, Rows, rows_by_item
from analyzer.save.scan.scan import Candidates

# First data version (1.14) whose packed positions have y in the lowest bits.
_FIRST_Y_LAST: Final = 1952
# NBT tag numbers of the narrowest and the widest integer.
_BYTE: Final = 1
_LONG: Final = 4

_Positions: TypeAlias = npt.NDArray[np.int64]


def read_links(
    candidates: Candidates,
    types: Sequence[PartType | None],
    *,
    lookup: Lookup,
    rows: Rows,
    group: Rows,
) -> tuple[Links, tuple[Unusable, ...]]:
    """Return where the partners of the parts lie.

    Parameters
    ----------
    candidates, lookup
        All candidates, and what is stored of them.
    types
        Type of each group of candidates; None for those that are no parts.
    rows
        Rows of the candidates that are parts, ascending, shape (n,).
    group
        Group of each of these, shape (n,).

    Returns
    -------
    links, unusable
        A part with nothing at all at the path is not linked. One with something there that is no
        position is unusable, and not linked either.
    """
    partners = [None if one is None or one.link is None else one.link.partner for one in types]
    found = [(np.empty(0, np.int64), np.empty((0, 3), np.int64))]
    unusable: list[Unusable] = []
    for partner, parts in rows_by_item(partners, group):
        reader = _Reader(partner, lookup, parts=parts, rows=rows[parts])
        if partner.form == "packed":
            linked, steps = reader.packed(candidates.data_version)
        else:
            linked, steps = reader.three()
        if partner.relative:
            steps = steps + candidates.xyz[rows[parts[linked]]]
        found.append((parts[linked], steps))
        unusable += reader.unusable
    part = np.concatenate([one for one, _ in found])
    order = np.argsort(part, kind="stable")
    links = Links(
        part=frozen(part[order].astype(np.int32)),
        towards=frozen(np.concatenate([steps for _, steps in found])[order]),
    )
    return links, tuple(unusable)


def unpack(packed: npt.NDArray[np.int64], versions: npt.NDArray[np.int32]) -> _Positions:
    """Return the positions that packed ones of chunks of some data versions stand for.

    Parameters
    ----------
    packed, versions
        Arrays of shape (n,); n may be 0.

    Returns
    -------
    array
        x, y, z as int64, shape (n, 3).

    >>> unpack(np.array([-1, (5 << 38) | (7 << 12) | 64]), np.array([1952, 3465])).tolist()
    [[-1, -1, -1], [5, 64, 7]]
    """
    # A shift to the left drops the bits above a field, one to the right keeps the sign.
    old = versions < _FIRST_Y_LAST
    y = np.where(old, packed << 26, packed << 52) >> 52
    z = np.where(old, packed << 38, packed << 26) >> 38
    return np.stack([packed >> 38, y, z], axis=1)


class _Reader:
    """Reads the partners of some parts, and notes those that are no position.

    Parameters
    ----------
    partner
        Where the parts store their partners.
    lookup
        What is stored.
    parts, rows
        The parts, and their rows among the candidates, shape (n,).
    """

    def __init__(self, partner: Partner, lookup: Lookup, *, parts: Rows, rows: Rows) -> None:
        self.unusable: list[Unusable] = []
        self._partner = partner
        self._lookup = lookup
        self._parts = parts
        self._rows = rows

    def packed(self, versions: npt.NDArray[np.int32]) -> tuple[Rows, _Positions]:
        """Return which of the parts store a packed position, and the positions."""
        path = self._partner.path
        at = self._lookup.find(path, self._rows)
        is_long = self._lookup.tags(at) == _LONG
        self._note(path, np.flatnonzero((at >= 0) & ~is_long), at)
        linked = np.flatnonzero(is_long)
        return linked, unpack(self._lookup.integers(at[linked]), versions[self._rows[linked]])

    def three(self) -> tuple[Rows, _Positions]:
        """Return which of the parts store three integers, and the positions that these are."""
        paths = self._partner.paths
        at = np.stack([self._lookup.find(path, self._rows) for path in paths], axis=1)
        tags, values = self._lookup.tags(at), self._lookup.integers(at)
        usable = (tags >= _BYTE) & (tags <= _LONG) & (values >= -LARGEST) & (values <= LARGEST)
        whole, some = usable.all(axis=1), (at >= 0).any(axis=1)
        first = usable.argmin(axis=1)
        for column, path in enumerate(paths):
            self._note(path, np.flatnonzero(some & ~whole & (first == column)), at[:, column])
        self._note_empty(np.flatnonzero(~some))
        linked = np.flatnonzero(whole)
        return linked, values[linked]

    def _note_empty(self, parts: Rows) -> None:
        """Note parts that have something at the path, but none of the three numbers."""
        if self._partner.path:
            holder = np.full(len(self._rows), -1, np.int64)
            holder[parts] = self._lookup.find(self._partner.path, self._rows[parts])
            self._note(self._partner.path, np.flatnonzero(holder >= 0), holder)

    def _note(self, path: DataPath, parts: Rows, at: Rows) -> None:
        """Note some of the parts, with what each has at a path."""
        text = key_text(path)
        for index in parts.tolist():
            reading = int(at[index])
            found = "absent" if reading < 0 else str(self._lookup.reading(reading))
            part = int(self._parts[index])
            self.unusable.append(Unusable(part, Field.PARTNER, text, found))
