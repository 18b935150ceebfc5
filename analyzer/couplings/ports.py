"""What each part offers to its neighbours: ends on world faces, a rim about a world axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX
from analyzer.base.tables import Interner
from analyzer.catalogue.catalogue import Cell, Field, PartType
from analyzer.parts.parts import Parts

#: Bit of each kind of rim in each placement that it can take, in `Ports.placements`.
PLACEMENT_BITS: Final = {
    ("near", "beside"): 1,
    ("near", "diagonal"): 2,
    ("far", "diagonal"): 4,
    ("far", "crossed"): 8,
}


@dataclass(frozen=True, eq=False)
class EndSites:
    """Ends that look along one world face; parallel arrays.

    Parameters
    ----------
    part
        Row of each end's part, int64, ascending within a side.
    side
        Its own side, int8.
    xyz
        The cell that the end leaves, int64, shape (k, 3).
    """

    part: npt.NDArray[np.int64]
    side: npt.NDArray[np.int8]
    xyz: npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Ports:
    """Ports of n parts, in world terms.

    Parameters
    ----------
    ends
        The usable ends by the world face they look along, six.
    axis
        World axis of the front, int8, shape (n,).
    sense
        +1 where the front looks along its positive axis, else -1, int8, shape (n,).
    placements
        Bits of the placements the rim can take, int8, shape (n,); 0 without a usable rim.
    rim_xyz
        The cell that bears the rim, int64, shape (n, 3).
    fits
        Number of the class within which the part couples, int16, shape (n,).
    """

    ends: tuple[EndSites, ...]
    axis: npt.NDArray[np.int8]
    sense: npt.NDArray[np.int8]
    placements: npt.NDArray[np.int8]
    rim_xyz: npt.NDArray[np.int64]
    fits: npt.NDArray[np.int16]


def ports_of(parts: Parts) -> Ports:
    """Lay out the ports of all parts; an end or rim whose number is unusable is left out."""
    types = parts.catalogues.types
    placements = np.zeros(len(types), np.int8)
    classes: Interner[str] = Interner()
    fits = np.zeros(len(types), np.int16)
    for number, entry in enumerate(types):
        if entry.rim is not None:
            placements[number] = sum(
                PLACEMENT_BITS[entry.rim.kind, name] for name in entry.rim.placements
            )
        fits[number] = classes(entry.fits)
    front = POSE_FACES[parts.pose, 0]
    rim = np.where(parts.column(Field.TEETH) < 0, 0, placements[parts.type])
    return Ports(
        ends=_end_sites(parts),
        axis=(front >> 1).astype(np.int8),
        sense=(1 - 2 * (front & 1)).astype(np.int8),
        placements=rim.astype(np.int8),
        rim_xyz=_cells(parts, np.arange(len(parts)), [_rim_cell(entry) for entry in types]),
        fits=fits[parts.type],
    )


def _end_sites(parts: Parts) -> tuple[EndSites, ...]:
    types = parts.catalogues.types
    found: list[list[EndSites]] = [[] for _ in range(6)]
    for side in range(6):
        cells = [
            next((end.cell for end in entry.ends if end.side == side), None) for entry in types
        ]
        has_end = np.array([cell is not None for cell in cells], bool)[parts.type]
        rows = np.flatnonzero(has_end & (parts.column(Field(side)) >= 0))
        face = POSE_FACES[parts.pose[rows], side]
        xyz = _cells(parts, rows, [cell or (0, 0, 0) for cell in cells])
        for world in range(6):
            here = face == world
            if here.any():
                own = np.full(int(here.sum()), side, np.int8)
                found[world].append(EndSites(rows[here], own, xyz[here]))
    return tuple(map(_joined, found))


def _joined(pieces: list[EndSites]) -> EndSites:
    if len(pieces) == 1:
        return pieces[0]
    return EndSites(
        part=np.concatenate([np.empty(0, np.int64), *(piece.part for piece in pieces)]),
        side=np.concatenate([np.empty(0, np.int8), *(piece.side for piece in pieces)]),
        xyz=np.concatenate([np.empty((0, 3), np.int64), *(piece.xyz for piece in pieces)]),
    )


def _rim_cell(entry: PartType) -> Cell:
    return (0, 0, 0) if entry.rim is None else entry.rim.cell


def _cells(
    parts: Parts, rows: npt.NDArray[np.int64], cell_of_type: list[Cell]
) -> npt.NDArray[np.int64]:
    """Return the world cell of each row, given its type's cell in the own frame."""
    xyz = parts.xyz[rows].astype(np.int64)
    for number, cell in enumerate(cell_of_type):
        if any(cell):
            here = np.flatnonzero(parts.type[rows] == number)
            xyz[here] += POSE_MATRIX[parts.pose[rows[here]]] @ np.array(cell, np.int64)
    return xyz
