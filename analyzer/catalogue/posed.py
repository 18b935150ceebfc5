"""What a pose makes of own offsets, and the poses that a type can have."""

from __future__ import annotations

from functools import lru_cache

from analyzer.base.frame import AXES, FACES, FACES_OF_POSE, axis_of, pose_facing, sign_of
from analyzer.base.placements import contact_signs
from analyzer.catalogue.catalogue import (
    Meeting,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
    PoseFixed,
    PoseRule,
)

#: The front's own axis.
_FRONT = 0


def poses_of(rule: PoseRule) -> tuple[int, ...]:
    """Return the poses that a block of a type can have, ascending.

    >>> len(poses_of(PoseByAxis("axis"))), len(poses_of(PoseByFacing("facing")))
    (3, 6)
    """
    match rule:
        case PoseFixed():
            found = {rule.pose}
        case PoseByAxis():
            found = {pose_facing(2 * axis) for axis in range(len(AXES))}
        case PoseByFacing():
            found = {pose_facing(face) for face in range(len(FACES))}
        case PoseByCases():
            found = {pose for _, pose in rule.cases}
    return tuple(sorted(found))


def meeting_signs(meeting: Meeting, pose: int) -> tuple[int, int, int]:
    """Return the sign of an own offset for each world axis that the other part may turn about.

    Parameters
    ----------
    meeting
        The own offset.
    pose
        Pose of the part whose type lists it.

    Returns
    -------
    signs
        By the other's axis: +1 where both turn the same way about their positive world axes, -1
        where they turn opposite ways, 0 where they do not couple.
    """
    signs = [0, 0, 0]
    faces = FACES_OF_POSE[pose]
    for own, sign in enumerate(_own_signs(meeting)):
        face = faces[2 * own]
        signs[axis_of(face)] = sign * sign_of(face) * sign_of(faces[0])
    return (signs[0], signs[1], signs[2])


@lru_cache(maxsize=4096)
def _own_signs(meeting: Meeting) -> tuple[int, int, int]:
    """Return the signs by own axis, about the own axes: a rotation leaves these as they are."""
    if meeting.ratio is not None:
        return (1 if meeting.ratio > 0 else -1, 0, 0)
    return contact_signs(
        _FRONT,
        offset=meeting.at,
        contact=meeting.contact,
    )
