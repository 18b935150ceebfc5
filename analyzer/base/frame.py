"""World axes, a part's own frame, and the 24 poses that carry one into the other.

World axes are +x east, +y up, +z south, right-handed. A part's own frame has a front, a top and
a right, with right = front × top: right and left are those of someone inside the part who looks
out of its front. Both are right-handed, so a pose is a proper rotation.

Faces and sides are numbered alike: ``2 * axis`` for the positive direction and ``2 * axis + 1``
for the negative one. The opposite of a face is ``face ^ 1`` and its axis is ``face >> 1``.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

#: World faces by number.
FACES: Final = ("east", "west", "up", "down", "south", "north")
#: World axes by number.
AXES: Final = ("x", "y", "z")
#: Sides of a part's own frame by number: own axes are front, top, right.
SIDES: Final = ("front", "back", "top", "bottom", "right", "left")

#: Unit vector of each face or side, shape (6, 3), in the axes it is numbered by.
UNITS: Final[npt.NDArray[np.int8]] = np.array(
    [[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], dtype=np.int8
)
UNITS.flags.writeable = False


def opposite(face: int) -> int:
    """Return the face (or side) that looks the other way.

    >>> FACES[opposite(FACES.index("up"))]
    'down'
    """
    return face ^ 1


def axis_of(face: int) -> int:
    """Return the axis (0, 1, 2) along which a face (or side) looks."""
    return face >> 1


def sign_of(face: int) -> int:
    """Return +1 where a face (or side) looks along its positive axis, else -1."""
    return 1 - 2 * (face & 1)


def _all_poses() -> tuple[
    tuple[tuple[int, int], ...], npt.NDArray[np.int8], npt.NDArray[np.int8], npt.NDArray[np.int8]
]:
    pairs = tuple(
        (front, top) for front in range(6) for top in range(6) if axis_of(front) != axis_of(top)
    )
    index = np.full((6, 6), -1, dtype=np.int8)
    faces = np.zeros((len(pairs), 6), dtype=np.int8)
    matrices = np.zeros((len(pairs), 3, 3), dtype=np.int8)
    for pose, (front, top) in enumerate(pairs):
        right = np.cross(UNITS[front], UNITS[top])
        columns = (UNITS[front], UNITS[top], right)
        index[front, top] = pose
        for own, vector in enumerate(columns):
            matrices[pose, :, own] = vector
            axis = int(np.flatnonzero(vector)[0])
            faces[pose, 2 * own] = 2 * axis + (0 if vector[axis] > 0 else 1)
            faces[pose, 2 * own + 1] = faces[pose, 2 * own] ^ 1
    for array in (index, faces, matrices):
        array.flags.writeable = False
    return pairs, index, faces, matrices


_pairs, _index, _faces, _matrices = _all_poses()
#: (front face, top face) of each of the 24 poses.
POSES: Final = _pairs
#: Pose by front and top face, shape (6, 6); -1 where the two are not at right angles.
POSE_OF: Final = _index
#: World face of each own side, shape (24, 6): ``POSE_FACES[pose, side]``.
POSE_FACES: Final = _faces
#: Rotation of each pose, shape (24, 3, 3): ``world = POSE_MATRIX[pose] @ own``.
POSE_MATRIX: Final = _matrices


def default_top(front: int) -> int:
    """Return the top face that a front implies: up, but south for a front up, north for down.

    Source: the project's own convention (docs/mechanics.md, Frame).

    >>> [FACES[default_top(FACES.index(front))] for front in ("west", "up", "down")]
    ['up', 'south', 'north']
    """
    return {2: 4, 3: 5}.get(front, 2)


def pose_facing(front: int) -> int:
    """Return the pose with that front and the top that the front implies."""
    return int(POSE_OF[front, default_top(front)])
