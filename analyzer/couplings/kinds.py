"""Kinds of parts: those of one type and pose with equal numbers, which offer the same ports."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES, POSE_SIDES
from analyzer.base.tables import Interner, unique_rows
from analyzer.catalogue.catalogue import Field, PartType
from analyzer.parts.parts import Parts

#: The placements, by kind of rim and name, in the order of their bits.
PLACEMENTS: Final = (
    ("near", "beside"),
    ("near", "diagonal"),
    ("far", "diagonal"),
    ("far", "crossed"),
)
#: The numbers of a part that decide what it offers.
_FIELDS: Final = (*map(Field, range(6)), Field.TEETH)


@dataclass(frozen=True, eq=False)
class Kinds:
    """What each of k kinds of parts offers, in world terms; far fewer than there are parts.

    Parameters
    ----------
    type
        Index into ``catalogues.types``, int64, shape (k,).
    axis
        World axis of the front, int8, shape (k,).
    sense
        +1 where the front looks along its positive axis, else -1, int8, shape (k,).
    fits
        Number of the class within which they couple, int16, shape (k,).
    side
        Own side on each world face, int8, shape (k, 6).
    factor
        Number of the factor of the end on each world face, int64, shape (k, 6); -1 without one
        that is usable.
    teeth
        Number of the tooth count, int64, shape (k,); -1 without one that is usable.
    rim
        Bits of the placements that the rim can take (`rim_bit`), uint16, shape (k,); 0 without
        a usable rim.
    """

    type: npt.NDArray[np.int64]
    axis: npt.NDArray[np.int8]
    sense: npt.NDArray[np.int8]
    fits: npt.NDArray[np.int16]
    side: npt.NDArray[np.int8]
    factor: npt.NDArray[np.int64]
    teeth: npt.NDArray[np.int64]
    rim: npt.NDArray[np.uint16]


def rim_bit(axis: int, placement: tuple[str, str]) -> int:
    """Return the bit of rims about a world axis that can take one of the placements."""
    return 1 << (len(PLACEMENTS) * axis + PLACEMENTS.index(placement))


def kinds_of(parts: Parts) -> tuple[npt.NDArray[np.integer[Any]], Kinds]:
    """Return the kind of each part, shape (n,), and what each kind offers."""
    there = [field for field in _FIELDS if field in parts.fields]
    rows, kind = unique_rows(parts.type, parts.pose, *(parts.fields[field] for field in there))
    own_type, pose = rows[:, 0], rows[:, 1]
    numbers = np.full((len(rows), len(_FIELDS)), -1, np.int64)
    numbers[:, [_FIELDS.index(field) for field in there]] = rows[:, 2:]
    types = parts.catalogues.types
    classes: Interner[str] = Interner()
    fits = np.array([classes(entry.fits) for entry in types], np.int16)
    has_end = np.zeros((len(types), 6), bool)
    for number, entry in enumerate(types):
        has_end[number, [end.side for end in entry.ends]] = True
    front, side, teeth = POSE_FACES[pose, 0], POSE_SIDES[pose], numbers[:, -1]
    axis = (front >> 1).astype(np.int8)
    placements = np.array([_placement_bits(entry) for entry in types], np.uint16)[own_type]
    ends = np.where(has_end[own_type], numbers[:, :6], -1)
    return kind, Kinds(
        type=own_type,
        axis=axis,
        sense=(1 - 2 * (front & 1)).astype(np.int8),
        fits=fits[own_type],
        side=side,
        factor=np.take_along_axis(ends, side.astype(np.int64), axis=1),
        teeth=teeth,
        rim=np.where(teeth < 0, 0, placements << len(PLACEMENTS) * axis).astype(np.uint16),
    )


def _placement_bits(entry: PartType) -> int:
    """Return the bits of a type's rim about axis 0."""
    if entry.rim is None:
        return 0
    return sum(rim_bit(0, (entry.rim.kind, name)) for name in entry.rim.placements)
