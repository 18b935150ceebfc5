"""Builds turned and mirrored as mechanisms, with the catalogue that goes with them.

A part's pose rule cannot express every pose, so first every block is given its pose in so many
words: a catalogue whose types name all 24 poses by one property.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from tests.grown.belts import tie
from tests.grown.data import put
from tests.grown.gaps import ground
from tests.grown.lies import POSES
from tests.grown.told import Told
from tests.grown.toml_text import toml_text
from tests.judge.entries import DATA_VERSION, understand
from tests.judge.parts import Part
from tests.judge.placed import Place, Placement
from tests.judge.stored import Tagged, steps_of
from tests.judge.vectors import WORLD, Vector, add, cross, dot
from tests.judge.views import Chunk, aims_of, chunk_of

#: The property that names a pose, as front and top.
POSE = "lie_of_the_part"
#: What is told of a network as a set of places.
PLACES = ("out_of_range", "over_speed", "too_slow", "dragged", "unusable")
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
#: The rotation that leaves everything as it is.
STILL = next(motion for motion in ROTATIONS if motion((1, 2, 3)) == (1, 2, 3))
HERE: Vector = (0, 0, 0)
#: Reflection in a plane across each axis.
REFLECTIONS = (
    Motion((-1, 0, 0), (0, 1, 0), (0, 0, 1)),
    Motion((1, 0, 0), (0, -1, 0), (0, 0, 1)),
    Motion((1, 0, 0), (0, 1, 0), (0, 0, -1)),
)


@dataclass(frozen=True)
class Mechanism:
    """A build and its catalogue as TOML gives it; every pose is spelled out in so many words.

    Data are those of the present-day layout.
    """

    catalogue: dict[str, Any]
    build: list[Placement]

    @property
    def text(self) -> str:
        return toml_text(self.catalogue)

    def parts(self) -> list[Part]:
        """Return the parts among the blocks."""
        return _parts(self.catalogue, self.build, DATA_VERSION)

    def aims(self) -> set[Chunk]:
        """Return the chunks at which any part aims, besides those round the blocks."""
        aims = {chunk_of(part.place[0], at) for part in self.parts() for at in aims_of(part)}
        return aims - ground(self.build)

    def centre(self) -> Vector:
        """Return the middle of the box round all blocks."""
        return tuple(sum(edges) // 2 for edges in self._box())

    def reach(self) -> int:
        """Return how far the box reaches along the longest of its edges."""
        return max(high - low for low, high in self._box())

    def _box(self) -> list[tuple[int, int]]:
        columns = zip(*(placement.at for placement in self.build), strict=True)
        return [(min(column), max(column)) for column in columns]


def _parts(catalogue: dict[str, Any], build: list[Placement], version: int) -> list[Part]:
    found = (understand([catalogue], placement, version) for placement in build)
    return [part for part in found if part is not None]


def spelled_out(catalogue: dict[str, Any], build: list[Placement], version: int) -> Mechanism:
    """Return the same parts with every pose in so many words; blocks that are none are left out.

    `version` is the data version of the build.
    """
    cases = [{"when": {POSE: f"{front}_{top}"}, "front": front, "top": top} for front, top in POSES]
    spelled = copy.deepcopy(catalogue)
    for entry in spelled["parts"].values():
        entry["pose"] = {"cases": cases}
    parts = _parts(catalogue, build, version)
    return Mechanism(spelled, [_posed(catalogue, part, STILL, HERE) for part in parts])


def _posed(catalogue: dict[str, Any], part: Part, motion: Motion, shift: Vector) -> Placement:
    """Return the block of a part where a motion and a shift take it, with its data."""
    pose = f"{NAMES[motion(part.front)]}_{NAMES[motion(part.top)]}"
    placement = replace(
        part.placement,
        at=carried(part.at, motion, shift),
        properties={**part.placement.properties, POSE: pose},
    )
    entry = catalogue["parts"][placement.block]
    if part.link is not None and part.link.partner is not None:
        partner = carried(part.link.partner, motion, shift)
        rule = entry["link"]["partner"]
        placement = tie(random.Random(0), placement, rule, partner, DATA_VERSION)
    record = entry.get("recorded_rpm")
    if part.record is not None and record["about"] == "axis":
        kept = part.record.stored
        turned = Tagged(kept.kind, spin_of(part, motion) * kept.value)
        placement = put(placement, steps_of(record["stored"]), turned)
    return placement


def spin_of(part: Part, motion: Motion) -> int:
    """Return how a turn of 1 about the positive axis is seen about the moved part's."""
    return sum(motion.carry_spin(part.axis))


def moved(mechanism: Mechanism, motion: Motion, shift: Vector) -> Mechanism:
    """Turn or mirror a mechanism, and shift it.

    A rotation carries front and top of each part, and the right goes with them. A reflection
    carries front and top too, but makes of the right what is left in a proper frame, and turns
    the spin about the front round. So it also swaps right and left in each type, in sides as in
    steps to cells, and takes every speed about the front the other way: rated, set and recorded
    ones. An end's factor, which compares two spins, stays, and so do teeth, diameters and the
    ratios of chains, which compare spins about parallel axes.
    """
    catalogue = mechanism.catalogue if motion.handedness > 0 else _mirrored(mechanism.catalogue)
    build = [_posed(mechanism.catalogue, part, motion, shift) for part in mechanism.parts()]
    return Mechanism(catalogue, build)


def carried(at: Vector, motion: Motion, shift: Vector) -> Vector:
    """Return where a motion and then a shift take a place."""
    return add(motion(at), shift)


def _mirrored(catalogue: dict[str, Any]) -> dict[str, Any]:
    mirrored = copy.deepcopy(catalogue)
    for entry in mirrored["parts"].values():
        if "ends" in entry:
            entry["ends"] = {_across(side): _celled(end) for side, end in entry["ends"].items()}
        if "rim" in entry:
            entry["rim"] = _celled(entry["rim"])
        if "meets" in entry:
            entry["meets"] = [_celled(meeting) for meeting in entry["meets"]]
        if "rated_rpm" in entry:
            entry["rated_rpm"] = _negated(entry["rated_rpm"])
        _mirror_controls(entry)
    return mirrored


def _mirror_controls(entry: dict[str, Any]) -> None:
    switch, governor = entry.get("switch", {}), entry.get("governor")
    if "opens" in switch:
        switch["opens"] = [_across(port) for port in switch["opens"]]
    if "flips" in switch:
        switch["flips"] = _across(switch["flips"])
    if governor is not None:
        governor["port"] = _across(governor["port"])
        governor["set_rpm"] = _negated(governor["set_rpm"])
    record = entry.get("recorded_rpm", {"about": "axis"})
    if record["about"] == "front":
        record["scale"] = -record.get("scale", Decimal(1))


def _across(port: str) -> str:
    return {"right": "left", "left": "right"}.get(port, port)


def _celled(joint: Any) -> Any:
    """Return an end, a rim or an own offset with the steps to the right taken to the left."""
    if not isinstance(joint, dict):
        return joint
    ways = {key: joint[key] for key in ("cell", "at", "contact") if key in joint}
    return {**joint, **{key: [*way[:2], -way[2]] for key, way in ways.items()}}


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
    spin = {part.place: spin_of(part, motion) for part in parts}

    def there(place: Place) -> Place:
        dimension, at = place
        return (dimension, carried(at, motion, shift))

    def all_there(places: Iterable[Place]) -> tuple[Place, ...]:
        return tuple(sorted(map(there, places)))

    networks = [
        replace(
            network,
            members=all_there(network.members),
            zones=tuple(sorted(map(all_there, network.zones))),
            speeds={
                there(place): None if speed is None else spin[place] * speed
                for place, speed in network.speeds.items()
            },
            broken=frozenset((there(place), reason) for place, reason in network.broken),
            **{name: frozenset(map(there, getattr(network, name))) for name in PLACES},
        )
        for network in networks
    ]
    return sorted(networks, key=lambda network: network.members)
