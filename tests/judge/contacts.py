"""How fast one part turns another that it touches, from angular-velocity vectors alone.

A part that turns at u about the positive world axis of its front has the angular velocity u·axis.
Nothing here knows a rule of signs: two ends that are one shaft have one angular velocity, two rims
in contact have one velocity at the point of contact, and so have the two pulleys of a belt.

Sources: rolling contact, equal velocities at the contact: MIT 2.972, lecture 3, slide 8
(web.mit.edu/course/2/2.972/OldFiles/www/lecture3-gears/tsld008.htm). Wheels on intersecting axes
roll on each other as cones with a common apex: Encyclopaedia Britannica, 11th ed., vol. 17,
"Mechanics".
"""

from __future__ import annotations

from fractions import Fraction

from tests.judge.parts import End, Meeting, Part
from tests.judge.vectors import Vector, add, cross, dot, minus, multiple, scale


def one_shaft(a: Part, end_a: End, b: Part, end_b: End) -> Fraction | None:
    """Return the turn of b per turn of a where two ends make up one shaft."""
    apart = minus(add(b.at, end_b.cell), add(a.at, end_a.cell))
    if a.fits != b.fits or apart != end_a.normal or end_b.normal != scale(-1, end_a.normal):
        return None
    turning_a = scale(end_a.factor * a.sense, end_a.normal)
    turning_b = scale(end_b.factor * b.sense, end_b.normal)
    return multiple(turning_a, turning_b)


def in_mesh(a: Part, b: Part) -> Fraction | None:
    """Return the turn of b per turn of a where their rims touch in one of the placements."""
    if a.rim is None or b.rim is None or a.fits != b.fits:
        return None
    placement = rims_meet(a, b)
    if placement is None or not (placement in a.rim.placements and placement in b.rim.placements):
        return None
    if placement == "crossed":
        # The wheels touch where the first one's axis lies as far from the point as the second's.
        along_b = scale(dot(minus(b.centre(), a.centre()), b.axis), b.axis)
        return as_cones(a, a.centre(), b, b.centre(), add(a.centre(), along_b))
    return as_cylinders(a, a.centre(), b, b.centre())


def rims_meet(a: Part, b: Part) -> str | None:
    """Return how two rims lie to each other so that they can touch, or None."""
    step = minus(b.centre(), a.centre())
    kinds = sorted((a.rim.kind, b.rim.kind))
    parallel = a.axis == b.axis
    across = dot(step, a.axis) == 0
    length = dot(step, step)
    if parallel and across and length == 1 and kinds == ["near", "near"]:
        return "beside"
    if parallel and across and length == 2 and kinds == ["far", "near"]:
        return "diagonal"
    square = dot(a.axis, b.axis) == 0
    in_plane = abs(dot(step, a.axis)) == 1 and abs(dot(step, b.axis)) == 1 and length == 2
    if square and in_plane and kinds == ["far", "far"]:
        return "crossed"
    return None


def by_offset(a: Part, meeting: Meeting, b: Part) -> Fraction | None:
    """Return the turn of b per turn of a where b is one that a's own offset names.

    `fits` is not looked at, and neither is the kind of either rim: naming the type is enough.
    """
    if add(a.at, meeting.at) != b.at or b.placement.block not in meeting.types:
        return None
    if meeting.ratio is not None:
        return meeting.ratio if a.axis == b.axis else None
    if a.rim is None or b.rim is None:
        return None
    if meeting.contact is None:
        return as_cylinders(a, a.at, b, b.at) if a.axis == b.axis else None
    if a.axis == b.axis:
        return None
    return as_cones(a, a.at, b, b.at, add(a.at, meeting.contact))


def as_cylinders(a: Part, centre_a: Vector, b: Part, centre_b: Vector) -> Fraction:
    """Return the turn of b per turn of a for wheels on parallel axes that touch outside.

    Teeth of one size: the point of contact divides the line of centres as the teeth do. Lengths
    are seen from a's centre, in units of which the line has as many as both wheels have teeth.
    What lies along the axes does not count.
    """
    step = minus(centre_b, centre_a)
    across = minus(step, scale(dot(step, a.axis), a.axis))
    contact = scale(a.rim.teeth, across)
    return rolling(a.axis, (0, 0, 0), b.axis, scale(a.rim.teeth + b.rim.teeth, across), contact)


def as_cones(
    a: Part, centre_a: Vector, b: Part, centre_b: Vector, towards: Vector
) -> Fraction | None:
    """Return the turn of b per turn of a for wheels on crossing axes that touch on one side.

    The axes have to meet, at the apex of the cones. The line of contact lies in their plane, in
    that of its four quarters where `towards` is, and as far from each axis as its wheel has teeth.
    None where the axes are skew, or `towards` is out of their plane or on one of them.
    """
    step = minus(centre_b, centre_a)
    apex = add(centre_a, scale(dot(step, a.axis), a.axis))
    along_a = dot(minus(towards, apex), a.axis)
    along_b = dot(minus(towards, apex), b.axis)
    in_plane = add(scale(along_a, a.axis), scale(along_b, b.axis)) == minus(towards, apex)
    axes_meet = add(apex, scale(dot(step, b.axis), b.axis)) == centre_b
    if not (axes_meet and in_plane and along_a and along_b):
        return None
    contact = add(
        apex,
        add(
            scale(b.rim.teeth * (1 if along_a > 0 else -1), a.axis),
            scale(a.rim.teeth * (1 if along_b > 0 else -1), b.axis),
        ),
    )
    return rolling(a.axis, apex, b.axis, apex, contact)


def by_belt(a: Part, b: Part) -> Fraction | None:
    """Return the turn of b per turn of a, where a names b for the partner of its link.

    The belt has one speed. On an open belt it leaves both pulleys on the same side, on a crossed
    one on opposite sides.
    """
    if (
        a.link is None
        or b.link is None
        or a.axis != b.axis
        or a.link.diameter is None
        or b.link.diameter is None
    ):
        return None
    outwards = (a.axis[1], a.axis[2], a.axis[0])
    other_side = -1 if a.link.crossed else 1
    velocity_a = cross(a.axis, scale(a.link.diameter, outwards))
    velocity_b = cross(b.axis, scale(other_side * b.link.diameter, outwards))
    return multiple(velocity_a, velocity_b)


def rolling(
    axis_a: Vector, origin_a: Vector, axis_b: Vector, origin_b: Vector, contact: Vector
) -> Fraction:
    """Return the turn of b per turn of a for wheels that do not slip where they touch.

    The velocity of a point of a turning body is its angular velocity × the way from any point of
    its axis.
    """
    velocity_a = cross(axis_a, minus(contact, origin_a))
    velocity_b = cross(axis_b, minus(contact, origin_b))
    return multiple(velocity_a, velocity_b)
