"""Builds turned and mirrored as mechanisms, with the catalogue that goes with them.

A part's pose rule cannot express every pose, so first every block is given its pose in so many
words: a catalogue whose types name all 24 poses by one property.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from tests.grown.recipes import POSES, toml_text
from tests.grown.told import Told
from tests.judge.entries import Part, understand
from tests.judge.placed import Place, Placement
from tests.judge.vectors import WORLD, Vector, add, cross, dot

#: The property that names a pose, as front and top.
POSE = "lie_of_the_part"
NAMES = {direction: name for name, direction in WORLD.items()}


@dataclass(frozen=True)
class Motion:
    """A rotation or reflection: where east, up and south go."""

    east: Vector
    up: Vector
    south: Vector

    def __call__(self, v: Vector) -> Vector:
        """Carry a position or a direction."""
        x, y, z = v
        return tuple(
            x * a + y * b + z * c for a, b, c in zip(self.east, self.up, self.south, strict=True)
        )

    @property
    def handedness(self) -> int:
        """1 for a rotation, -1 for a reflection."""
        return dot(cross(self.east, self.up), self.south)

    def carry_spin(self, spin: Vector) -> Vector:
        """Carry an angular velocity: an axial vector, which a reflection turns round besides.

        Source: mathworld.wolfram.com/Pseudovector.html.
        """
        return tuple(self.handedness * component for component in self(spin))


def _motion(front: str, top: str) -> Motion:
    return Motion(WORLD[front], WORLD[top], cross(WORLD[front], WORLD[top]))


#: The 24 rotations of a cube.
ROTATIONS = tuple(_motion(front, top) for front, top in POSES)
#: Reflection in a plane across each axis.
REFLECTIONS = (
    Motion((-1, 0, 0), (0, 1, 0), (0, 0, 1)),
    Motion((1, 0, 0), (0, -1, 0), (0, 0, 1)),
    Motion((1, 0, 0), (0, 1, 0), (0, 0, -1)),
)


@dataclass(frozen=True)
class Mechanism:
    """A build and its catalogue as TOML gives it."""

    catalogue: dict[str, Any]
    build: list[Placement]

    @property
    def text(self) -> str:
        return toml_text(self.catalogue)

    def parts(self) -> list[Part]:
        """Return the parts among the blocks."""
        found = (understand([self.catalogue], placement) for placement in self.build)
        return [part for part in found if part is not None]


def spelled_out(catalogue: dict[str, Any], build: list[Placement]) -> Mechanism:
    """Return the same parts with every pose in so many words; blocks that are none are left out."""
    cases = [{"when": {POSE: f"{front}_{top}"}, "front": front, "top": top} for front, top in POSES]
    spelled = copy.deepcopy(catalogue)
    for entry in spelled["parts"].values():
        entry["pose"] = {"cases": cases}
    parts = Mechanism(catalogue, build).parts()
    return Mechanism(spelled, [_posed(part, part.front, part.top, part.at) for part in parts])


def _posed(part: Part, front: Vector, top: Vector, at: Vector) -> Placement:
    pose = f"{NAMES[front]}_{NAMES[top]}"
    properties = {**part.placement.properties, POSE: pose}
    return replace(part.placement, at=at, properties=properties)


def moved(mechanism: Mechanism, motion: Motion, shift: Vector) -> Mechanism:
    """Turn or mirror a mechanism whose poses are spelled out, and shift it.

    A rotation carries front and top of each part, and the right goes with them. A reflection
    carries front and top too, but makes of the right what is left in a proper frame, and turns
    the spin about the front round. So it also swaps right and left in each type and takes every
    rated speed the other way; an end's factor, which compares two spins, stays, and so do teeth.
    """
    catalogue = mechanism.catalogue if motion.handedness > 0 else _mirrored(mechanism.catalogue)
    build = [
        _posed(part, motion(part.front), motion(part.top), carried(part.at, motion, shift))
        for part in mechanism.parts()
    ]
    return Mechanism(catalogue, build)


def shifted(build: list[Placement], shift: Vector) -> list[Placement]:
    """Return a build elsewhere."""
    return [replace(placement, at=add(placement.at, shift)) for placement in build]


def carried(at: Vector, motion: Motion, shift: Vector) -> Vector:
    """Return where a motion and then a shift take a place."""
    return add(motion(at), shift)


def _mirrored(catalogue: dict[str, Any]) -> dict[str, Any]:
    mirrored = copy.deepcopy(catalogue)
    other = {"right": "left", "left": "right"}
    for entry in mirrored["parts"].values():
        if "ends" in entry:
            entry["ends"] = {other.get(side, side): end for side, end in entry["ends"].items()}
        if "rated_rpm" in entry:
            entry["rated_rpm"] = _negated(entry["rated_rpm"])
    return mirrored


def _negated(number: Any) -> Any:
    if not isinstance(number, dict):
        return -number
    if "property" in number:
        return {**number, "values": {key: -value for key, value in number["values"].items()}}
    negated = {**number, "scale": -number.get("scale", Decimal(1))}
    if "default" in number:
        negated["default"] = -number["default"]
    return negated


def expected(networks: list[Told], parts: list[Part], motion: Motion, shift: Vector) -> list[Told]:
    """Return what is to be told of a moved mechanism: only places and signs are others."""
    axis = {part.place: part.axis for part in parts}

    def there(place: Place) -> Place:
        dimension, at = place
        return (dimension, carried(at, motion, shift))

    def spin(place: Place) -> int:
        """Return how a turn of 1 about the positive axis is seen about the moved part's."""
        return sum(motion.carry_spin(axis[place]))

    networks = [
        replace(
            network,
            members=tuple(sorted(map(there, network.members))),
            speeds={
                there(place): None if speed is None else spin(place) * speed
                for place, speed in network.speeds.items()
            },
            over_speed=frozenset(map(there, network.over_speed)),
        )
        for network in networks
    ]
    return sorted(networks, key=lambda network: network.members)
