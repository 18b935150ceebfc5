"""Vectors of three exact numbers, the way a textbook writes them."""

from __future__ import annotations

from fractions import Fraction

Vector = tuple[Fraction | int, Fraction | int, Fraction | int]

#: Unit vectors of the world: +x east, +y up, +z south, right-handed.
WORLD: dict[str, Vector] = {
    "east": (1, 0, 0),
    "west": (-1, 0, 0),
    "up": (0, 1, 0),
    "down": (0, -1, 0),
    "south": (0, 0, 1),
    "north": (0, 0, -1),
}


def add(v: Vector, w: Vector) -> Vector:
    return (v[0] + w[0], v[1] + w[1], v[2] + w[2])


def scale(factor: Fraction | int, v: Vector) -> Vector:
    return (factor * v[0], factor * v[1], factor * v[2])


def minus(v: Vector, w: Vector) -> Vector:
    return add(v, scale(-1, w))


def dot(v: Vector, w: Vector) -> Fraction | int:
    return v[0] * w[0] + v[1] * w[1] + v[2] * w[2]


def cross(v: Vector, w: Vector) -> Vector:
    return (
        v[1] * w[2] - v[2] * w[1],
        v[2] * w[0] - v[0] * w[2],
        v[0] * w[1] - v[1] * w[0],
    )


def multiple(v: Vector, w: Vector) -> Fraction:
    """Return the number r with v = r w, where the two are parallel and w is not zero.

    Raises
    ------
    ValueError
        Where no such number exists.
    """
    pivot = next((axis for axis in range(3) if w[axis] != 0), None)
    if pivot is None:
        raise ValueError(f"{v} is no multiple of a zero vector")
    if any(v[axis] * w[pivot] != v[pivot] * w[axis] for axis in range(3)):
        raise ValueError(f"{v} and {w} are not parallel")
    return Fraction(v[pivot], w[pivot])
