"""What each part offers to its neighbours: ends on world faces, a rim about a world axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import POSE_FACES
from analyzer.base.tables import Interner
from analyzer.catalogue.catalogue import Field
from analyzer.parts.parts import Parts

#: Bit of each kind of rim in each placement that it can take, in `Ports.placements`.
PLACEMENT_BITS: Final = {
    ("near", "beside"): 1,
    ("near", "diagonal"): 2,
    ("far", "diagonal"): 4,
    ("far", "crossed"): 8,
}


@dataclass(frozen=True, eq=False)
class Ports:
    """Ports of n parts, in world terms.

    Parameters
    ----------
    side
        Own side whose end is on each world face, int8, shape (n, 6); -1 without a usable end.
    axis
        World axis of the front, int8, shape (n,).
    sense
        +1 where the front looks along its positive axis, else -1, int8, shape (n,).
    placements
        Bits of the placements the rim can take, int8, shape (n,); 0 without a usable rim.
    fits
        Number of the class within which the part couples, int16, shape (n,).
    """

    side: npt.NDArray[np.int8]
    axis: npt.NDArray[np.int8]
    sense: npt.NDArray[np.int8]
    placements: npt.NDArray[np.int8]
    fits: npt.NDArray[np.int16]


def ports_of(parts: Parts) -> Ports:
    """Lay out the ports of all parts; an end or rim whose number is unusable is left out."""
    types = parts.catalogues.types
    ends = np.full((len(types), 24, 6), -1, np.int8)
    placements = np.zeros(len(types), np.int8)
    classes: Interner[str] = Interner()
    fits = np.zeros(len(types), np.int16)
    for number, entry in enumerate(types):
        for end in entry.ends:
            ends[number, np.arange(24), POSE_FACES[:, end.side]] = end.side
        if entry.rim is not None:
            placements[number] = sum(
                PLACEMENT_BITS[entry.rim.kind, name] for name in entry.rim.placements
            )
        fits[number] = classes(entry.fits)
    front = POSE_FACES[parts.pose, 0]
    side = ends[parts.type, parts.pose]
    for own in range(6):
        side[(side == own) & (parts.column(Field(own)) < 0)[:, None]] = -1
    rim = np.where(parts.column(Field.TEETH) < 0, 0, placements[parts.type])
    return Ports(
        side=side,
        axis=(front >> 1).astype(np.int8),
        sense=(1 - 2 * (front & 1)).astype(np.int8),
        placements=rim.astype(np.int8),
        fits=fits[parts.type],
    )
