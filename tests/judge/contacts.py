"""Which parts touch and how fast one turns the other, from angular-velocity vectors alone.

A part that turns at u about the positive world axis of its front has the angular velocity u·axis.
Nothing here knows a rule of signs: two ends that are one shaft have one angular velocity, and two
rims in contact have one velocity at the point of contact.

Sources: rolling contact, equal velocities at the contact: MIT 2.972, lecture 3, slide 8
(web.mit.edu/course/2/2.972/OldFiles/www/lecture3-gears/tsld008.htm). Wheels on intersecting axes
roll on each other as cones with a common apex: Encyclopaedia Britannica, 11th ed., vol. 17,
"Mechanics".
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from fractions import Fraction

from tests.judge.entries import Part, Place
from tests.judge.vectors import Vector, add, cross, dot, minus, multiple, scale

#: Steps to the 18 cells that share a face or an edge with a cell.
STEPS = tuple(
    step for step in itertools.product((-1, 0, 1), repeat=3) if 1 <= sum(map(abs, step)) <= 2
)


@dataclass(frozen=True)
class Coupling:
    """Part b turns at `ratio` per turn of part a, each about its positive world axis."""

    a: Place
    b: Place
    ratio: Fraction


def couplings(parts: list[Part]) -> list[Coupling]:
    """Return every coupling of some parts, each once; none for no parts."""
    at = {part.place: part for part in parts}
    found = []
    for part in parts:
        dimension, (x, y, z) = part.place
        for dx, dy, dz in STEPS:
            other = at.get((dimension, (x + dx, y + dy, z + dz)))
            if other is not None and part.place < other.place:
                found += [Coupling(part.place, other.place, ratio) for ratio in ratios(part, other)]
    return found


def ratios(a: Part, b: Part) -> list[Fraction]:
    """Return the turn of b per turn of a for each way in which the two are coupled."""
    if a.fits != b.fits:
        return []
    return [ratio for ratio in (one_shaft(a, b), in_mesh(a, b)) if ratio is not None]


def one_shaft(a: Part, b: Part) -> Fraction | None:
    """Return the turn of b per turn of a where an end of each make up one shaft."""
    step = minus(b.at, a.at)
    for normal_a, factor_a in a.ends:
        for normal_b, factor_b in b.ends:
            if normal_a == step and normal_b == scale(-1, step):
                turning_a = scale(factor_a * dot(a.axis, a.front), normal_a)
                turning_b = scale(factor_b * dot(b.axis, b.front), normal_b)
                return multiple(turning_a, turning_b)
    return None


def in_mesh(a: Part, b: Part) -> Fraction | None:
    """Return the turn of b per turn of a where their rims touch."""
    if a.rim is None or b.rim is None:
        return None
    placement = rims_meet(a, b)
    if placement is None or not (placement in a.rim.placements and placement in b.rim.placements):
        return None
    step = minus(b.at, a.at)
    if placement == "crossed":
        # The two axes meet at the apex of the cones. The line of contact lies as far from each
        # axis as its wheel has teeth.
        along_a = scale(dot(step, a.axis), a.axis)
        along_b = scale(dot(step, b.axis), b.axis)
        apex = add(a.at, along_a)
        contact = add(apex, minus(scale(a.rim.teeth, along_b), scale(b.rim.teeth, along_a)))
        return rolling(a.axis, apex, b.axis, apex, contact)
    # Teeth of one size: the point of contact divides the line of centres as the teeth do.
    contact = add(a.at, scale(a.rim.teeth / (a.rim.teeth + b.rim.teeth), step))
    return rolling(a.axis, a.at, b.axis, b.at, contact)


def rims_meet(a: Part, b: Part) -> str | None:
    """Return how two rims lie to each other so that they can touch, or None."""
    step = minus(b.at, a.at)
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
