"""Where other parts may stand to couple with a rim or at an own offset, in world directions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from analyzer.base.frame import POSES, axis_of, to_world
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.catalogue.catalogue import PartType, Placement, Rim, RimKind
from analyzer.catalogue.posed import meeting_signs


@dataclass(frozen=True)
class ShownMesh:
    """A place where another rim may stand to mesh.

    Parameters
    ----------
    placement
        The placement both rims have to list.
    partner
        The kind of rim that may stand there.
    offset
        From this part's block to the cell of the other rim, in blocks along the world axes.
    axis
        World axis of the other rim.
    sign
        +1 where both turn the same way about their positive world axes, else -1.
    """

    placement: Placement
    partner: RimKind
    offset: Offset
    axis: int
    sign: int


@dataclass(frozen=True)
class ShownMeeting:
    """An own offset in its pose, for one axis that the other part may turn about.

    Parameters
    ----------
    types
        Block names of the types that it meets.
    offset
        From this part's block to the other's, in blocks along the world axes.
    axis
        World axis of the other part.
    sign
        +1 where both turn the same way about their positive world axes, else -1.
    ratio
        Magnitude of the other's speed per speed of this; None where the teeth of both give it.
    contact
        From this part's block to the cell of the contact, along the world axes; None without one.
    """

    types: tuple[str, ...]
    offset: Offset
    axis: int
    sign: int
    ratio: Fraction | None
    contact: Offset | None


def meshes_of(rim: Rim, pose: int) -> tuple[ShownMesh, ...]:
    """Return every place where a rim may mesh with that of a type in a pose."""
    axis = axis_of(POSES[pose][0])
    other: RimKind = "near" if rim.kind == "far" else "far"
    every = [
        *(ShownMesh("beside", "near", offset, axis, -1) for offset in beside_offsets(axis)),
        *(ShownMesh("diagonal", other, offset, axis, -1) for offset in diagonal_offsets(axis)),
        *(ShownMesh("crossed", "far", *crossed) for crossed in crossed_offsets(axis)),
    ]
    dx, dy, dz = to_world(pose, rim.cell)
    return tuple(
        replace(mesh, offset=(mesh.offset[0] + dx, mesh.offset[1] + dy, mesh.offset[2] + dz))
        for mesh in every
        if mesh.placement in rim.placements
    )


def meetings_of(found: PartType, pose: int) -> tuple[ShownMeeting, ...]:
    """Return the own offsets of a type in a pose; empty for a type without any."""
    return tuple(_meetings(found, pose))


def _meetings(found: PartType, pose: int) -> Iterator[ShownMeeting]:
    for meeting in found.meets:
        for other, sign in enumerate(meeting_signs(meeting, pose)):
            if sign:
                yield ShownMeeting(
                    types=meeting.types,
                    offset=to_world(pose, meeting.at),
                    axis=other,
                    sign=sign,
                    ratio=None if meeting.ratio is None else abs(meeting.ratio),
                    contact=None if meeting.contact is None else to_world(pose, meeting.contact),
                )
