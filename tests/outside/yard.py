"""A yard with many little builds in one save, what turns in it seen as vectors.

Nothing here knows a rule of signs. A part that turns at u about the positive world axis of its
front has the angular velocity u·axis; a point of a turning body has the velocity ω × r.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations, product
from pathlib import Path
from typing import TypeAlias

from analyzer.demo.content import Placement, place
from analyzer.findings.audit import Audit
from tests.support.audits import audited_text
from tests.support.saves import save_of

Vector: TypeAlias = tuple[Fraction | int, Fraction | int, Fraction | int]

#: Unit vectors of the world's faces.
FACES: dict[str, Vector] = {
    "east": (1, 0, 0),
    "west": (-1, 0, 0),
    "up": (0, 1, 0),
    "down": (0, -1, 0),
    "south": (0, 0, 1),
    "north": (0, 0, -1),
}
NAMES = {vector: name for name, vector in FACES.items()}
#: Every front with every top at a right angle to it: the 24 poses.
POSES = [
    (front, top)
    for front, top in permutations(FACES, 2)
    if not any(a * b for a, b in zip(FACES[front], FACES[top], strict=True))
]
#: A pose rule by which a block's property `lie` names its front and top.
_CASES = (
    f'{{when = {{lie = "{front}_{top}"}}, front = "{front}", top = "{top}"}}'
    for front, top in POSES
)
LIE = f"{{cases = [{', '.join(_CASES)}]}}"
HEAD = """\
[catalogue]
format = 1
title = "Yard"
namespace = "quayworks"
version = "1"
licence = "MIT"
"""
#: Blocks between two builds, and how many stand above each other.
APART = 12
LAYERS = 28


def add(*vectors: Vector) -> Vector:
    x, y, z = (sum(column) for column in zip(*vectors, strict=True))
    return x, y, z


def times(factor: Fraction | int, v: Vector) -> Vector:
    return factor * v[0], factor * v[1], factor * v[2]


def minus(v: Vector, w: Vector) -> Vector:
    return add(v, times(-1, w))


def dot(v: Vector, w: Vector) -> Fraction | int:
    return v[0] * w[0] + v[1] * w[1] + v[2] * w[2]


def cross(v: Vector, w: Vector) -> Vector:
    return v[1] * w[2] - v[2] * w[1], v[2] * w[0] - v[0] * w[2], v[0] * w[1] - v[1] * w[0]


def velocity(spin: Vector, centre: Vector, point: Vector) -> Vector:
    """Return the velocity of a point of a body that turns about an axis through a centre."""
    return cross(spin, minus(point, centre))


def entry(name: str, role: str, *lines: str) -> str:
    """Return a catalogue entry of a type that lies as its block says."""
    start = f'\n[parts."quayworks:{name}"]\nrole = "{role}"\nentity = false\npose = {LIE}\n'
    return start + "".join(f"{line}\n" for line in lines)


@dataclass(frozen=True)
class Item:
    """A block of a build: its type, where it is from the build's middle, its front and top."""

    name: str
    at: Vector
    front: Vector
    top: Vector | None = None

    def placed(self, middle: Vector) -> Placement:
        top = self.top or next(face for face in NAMES if not dot(face, self.front))
        lie = f"{NAMES[self.front]}_{NAMES[top]}"
        x, y, z = map(int, add(middle, self.at))
        return place((x, y, z), f"quayworks:{self.name}[lie={lie}]")

    def spin(self, rpm: Fraction | None) -> Vector | None:
        """Return the angular velocity that goes with a speed about the positive world axis."""
        x, y, z = self.front
        return None if rpm is None else times(rpm, (abs(x), abs(y), abs(z)))


def spins(types: str, builds: Sequence[Sequence[Item]]) -> list[list[Vector | None]]:
    """Return the angular velocity in rpm of each item of each build, as the tool finds it."""
    columns = -(-len(builds) // LAYERS)
    side = int(columns**0.5) + 1
    middles: list[Vector] = [
        (APART * (column % side), APART * layer - 48, APART * (column // side))
        for column, layer in product(range(columns), range(LAYERS))
    ]
    pairs = list(zip(middles, builds, strict=False))
    blocks = [item.placed(middle) for middle, build in pairs for item in build]
    with tempfile.TemporaryDirectory() as folder:
        rpm = rpm_by_place(audited_text(save_of(Path(folder), blocks), HEAD + types))
    assert len(rpm) == len(blocks)
    return [[item.spin(rpm[add(middle, item.at)]) for item in build] for middle, build in pairs]


def rpm_by_place(audit: Audit) -> dict[Vector, Fraction | None]:
    """Return the speed of every part about the world's positive axis, by its position."""
    parts, solution = audit.parts, audit.solution
    return {tuple(parts.block_at(part)): solution.speed_rpm(part) for part in range(len(parts))}
