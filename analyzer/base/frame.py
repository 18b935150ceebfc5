"""World axes, a part's own frame, and the 24 poses that carry one into the other.

World axes are +x east, +y up, +z south, right-handed. A part's own frame has a front, a top and
a right, with right = front × top: right and left are those of someone inside the part who looks
out of its front. Both are right-handed, so a pose is a proper rotation.

Faces and sides are numbered alike: ``2 * axis`` for the positive direction and ``2 * axis + 1``
for the negative one. The opposite of a face is ``face ^ 1`` and its axis is ``face >> 1``.
"""

from __future__ import annotations

from typing import Final, TypeAlias

#: Steps, or a direction, along three axes.
Vector: TypeAlias = tuple[int, int, int]

#: World faces by number.
FACES: Final = ("east", "west", "up", "down", "south", "north")
#: World axes by number.
AXES: Final = ("x", "y", "z")
#: Sides of a part's own frame by number: own axes are front, top, right.
SIDES: Final = ("front", "back", "top", "bottom", "right", "left")

#: Unit vector of each face or side, in the axes it is numbered by.
UNITS: Final[tuple[Vector, ...]] = (
    (1, 0, 0),
    (-1, 0, 0),
    (0, 1, 0),
    (0, -1, 0),
    (0, 0, 1),
    (0, 0, -1),
)


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


def cross(a: Vector, b: Vector) -> Vector:
    """Return the vector product.

    >>> cross((1, 0, 0), (0, 1, 0))
    (0, 0, 1)
    """
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


#: (front face, top face) of each of the 24 poses.
POSES: Final = tuple(
    (front, top) for front in range(6) for top in range(6) if axis_of(front) != axis_of(top)
)
_NUMBERS: Final = {pair: pose for pose, pair in enumerate(POSES)}


def _faces(front: int, top: int) -> tuple[int, ...]:
    right = UNITS.index(cross(UNITS[front], UNITS[top]))
    return (front, front ^ 1, top, top ^ 1, right, right ^ 1)


#: World face of each own side, by pose.
FACES_OF_POSE: Final = tuple(_faces(front, top) for front, top in POSES)


def pose_of(front: int, top: int) -> int:
    """Return the pose with that front and top, or -1 where the two are not at right angles."""
    return _NUMBERS.get((front, top), -1)


def to_world(pose: int, own: Vector) -> Vector:
    """Carry a vector along front, top and right into one along the world axes.

    >>> to_world(pose_facing(FACES.index("west")), (2, 1, 0))
    (-2, 1, 0)
    """
    x = y = z = 0
    for steps, face in zip(own, FACES_OF_POSE[pose][::2], strict=True):
        unit = UNITS[face]
        x, y, z = x + steps * unit[0], y + steps * unit[1], z + steps * unit[2]
    return (x, y, z)


def default_top(front: int) -> int:
    """Return the top face that a front implies: up, but south for a front up, north for down.

    Source: the project's own convention (docs/mechanics.md, Frame).

    >>> [FACES[default_top(FACES.index(front))] for front in ("west", "up", "down")]
    ['up', 'south', 'north']
    """
    return {2: 4, 3: 5}.get(front, 2)


def pose_facing(front: int) -> int:
    """Return the pose with that front and the top that the front implies."""
    return pose_of(front, default_top(front))
