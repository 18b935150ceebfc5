"""Sites: the cells where parts have ports, found by position."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_MATRIX
from analyzer.catalogue.catalogue import Cell, PartType
from analyzer.couplings.index import SiteIndex
from analyzer.couplings.kinds import Kinds
from analyzer.parts.parts import Parts

_OWN: Final = (0, 0, 0)
#: Bit of each world face.
_FACE_BITS: Final = 1 << np.arange(6)


@dataclass(frozen=True, eq=False)
class Sites:
    """Cells of parts: the own block of each of n parts in their order, then other cells with ports.

    Parameters
    ----------
    part
        Row of each cell's part, int64, shape (s,).
    xyz
        Position of each cell, shape (s, 3).
    ends
        Bits of the world faces through which a usable end leaves the cell, uint8, shape (s,):
        ``1 << face``.
    rims
        Bits of the placements of the rim that the cell bears (`analyzer.couplings.kinds.rim_bit`),
        uint16, shape (s,).
    index
        Finds the cells by position.
    blocks
        How many of them are the own blocks: n.
    """

    part: npt.NDArray[np.int64]
    xyz: npt.NDArray[np.integer[Any]]
    ends: npt.NDArray[np.uint8]
    rims: npt.NDArray[np.uint16]
    index: SiteIndex
    blocks: int

    def with_end(self, face: int) -> npt.NDArray[np.int64]:
        """Return the sites with an end that looks along a world face, ascending."""
        return np.flatnonzero(self.ends & (1 << face) != 0)

    def with_rim(self, bit: int) -> npt.NDArray[np.int64]:
        """Return the sites with a rim that can take a placement, ascending."""
        return np.flatnonzero(self.rims & bit != 0)

    def blocks_at(
        self, dimension: npt.NDArray[Any], xyz: npt.NDArray[Any]
    ) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        """Return every pair of an asked position and a part whose own block is there.

        Parameters and what is returned are those of `SiteIndex.pairs_at`.
        """
        asked, site = self.index.pairs_at(dimension, xyz)
        block = site < self.blocks
        return asked[block], site[block]


def sites_of(parts: Parts, kind: npt.NDArray[np.integer[Any]], kinds: Kinds) -> Sites:
    """Lay out the cells of all parts, given the kind of each; no parts have no cells."""
    types = parts.catalogues.types
    at_home = np.ones((len(types), 6), bool)
    for number, entry in enumerate(types):
        at_home[number, [end.side for end in entry.ends if end.cell != _OWN]] = False
    rim_at_home = np.array([entry.rim is None or entry.rim.cell == _OWN for entry in types], bool)
    usable = (kinds.factor >= 0) & at_home[kinds.type[:, None], kinds.side]
    ends = (usable @ _FACE_BITS).astype(np.uint8)
    rims = np.where(rim_at_home[kinds.type], kinds.rim, 0).astype(np.uint16)
    blocks = (np.arange(len(parts)), parts.xyz, ends[kind], rims[kind])
    columns = list(zip(blocks, *_other_cells(parts, kind, kinds), strict=True))
    # Nothing is copied where parts have no other cells, as mostly.
    part, xyz, ends_at, rims_at = (
        pieces[0] if len(pieces) == 1 else np.concatenate(pieces) for pieces in columns
    )
    dimension = parts.dimension if len(part) == len(parts) else parts.dimension[part]
    return Sites(part, xyz, ends_at, rims_at, SiteIndex(dimension, xyz), len(parts))


def _other_cells(
    parts: Parts, kind: npt.NDArray[np.integer[Any]], kinds: Kinds
) -> Iterator[tuple[npt.NDArray[Any], ...]]:
    """Yield the columns of the cells with ports that are not a part's own block, if there are."""
    occurring = set(kinds.type.tolist())
    for number, entry in enumerate(parts.catalogues.types):
        cells = _cells(entry) if number in occurring else []
        rows = np.flatnonzero(parts.type == number) if cells else np.empty(0, np.int64)
        of_row = kind[rows]
        for cell in cells:
            sides = [end.side for end in entry.ends if end.cell == cell]
            usable = (kinds.factor[of_row] >= 0) & np.isin(kinds.side[of_row], sides)
            ends = (usable @ _FACE_BITS).astype(np.uint8)
            bears = entry.rim is not None and entry.rim.cell == cell
            rims = kinds.rim[of_row] * np.uint16(bears)
            some = np.flatnonzero((ends != 0) | (rims != 0))
            away = POSE_MATRIX[parts.pose[rows[some]]] @ np.array(cell, np.int64)
            yield rows[some], parts.xyz[rows[some]] + away, ends[some], rims[some]


def _cells(entry: PartType) -> list[Cell]:
    """Return the cells other than the own block where a type has ports."""
    cells = {end.cell for end in entry.ends}
    if entry.rim is not None:
        cells.add(entry.rim.cell)
    return sorted(cells - {_OWN})
