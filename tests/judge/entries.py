"""One block and its catalogue entry, put together: where its ends and its rim are in the world."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from tests.judge.stored import follow, meaning
from tests.judge.vectors import WORLD, Vector, cross, scale

Place = tuple[str, tuple[int, int, int]]
#: Default placements of each kind of rim: all that the kind can have.
PLACEMENTS = {"near": {"beside", "diagonal"}, "far": {"diagonal", "crossed"}}


class NotUnderstoodError(Exception):
    """A property that the entry needs is absent or has a value that the entry does not name."""


@dataclass(frozen=True)
class Placement:
    """A block of a build: dimension, position, block name, properties, block entity's data.

    The data's key ``id`` is the block entity's id; None stands for a block without one.
    """

    dimension: str
    at: tuple[int, int, int]
    block: str
    properties: dict[str, str]
    data: dict[str, Any] | None = None

    @property
    def place(self) -> Place:
        return (self.dimension, self.at)


@dataclass(frozen=True)
class Rim:
    kind: str
    teeth: Fraction
    placements: frozenset[str]


@dataclass(frozen=True)
class Part:
    """A part with everything in world directions.

    `ends` are (outward normal, factor) pairs. `rated`, the speed about the front, is None for
    what is no mover or has no usable one; `torque` alike.
    """

    placement: Placement
    role: str
    fits: str
    front: Vector
    top: Vector
    right: Vector
    ends: tuple[tuple[Vector, Fraction], ...]
    rim: Rim | None
    rated: Fraction | None
    torque: Fraction | None
    active: bool
    limit: Fraction | None

    @property
    def place(self) -> Place:
        return self.placement.place

    @property
    def at(self) -> Vector:
        return self.placement.at

    @property
    def axis(self) -> Vector:
        """The positive world direction of the line along which the front looks."""
        return (abs(self.front[0]), abs(self.front[1]), abs(self.front[2]))


def entry_of(catalogues: list[dict[str, Any]], block: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the heading of the catalogue that has the block, and the block's entry.

    Raises
    ------
    LookupError
        Where no catalogue has the block.
    """
    for catalogue in catalogues:
        if block in catalogue["parts"]:
            return catalogue["catalogue"], catalogue["parts"][block]
    raise LookupError(block)


def understand(catalogues: list[dict[str, Any]], placement: Placement) -> Part | None:
    """Return the part that a block is, or None where it is no part."""
    try:
        heading, entry = entry_of(catalogues, placement.block)
    except LookupError:
        return None
    if not _carried(entry, placement):
        return None
    try:
        return _part(heading, entry, placement)
    except NotUnderstoodError:
        return None


def _carried(entry: dict[str, Any], placement: Placement) -> bool:
    if entry["entity"] is False:
        return True
    return placement.data is not None and placement.data["id"] in entry["entity"]


def _part(heading: dict[str, Any], entry: dict[str, Any], placement: Placement) -> Part:
    front, top, right = frame(entry["pose"], placement.properties)
    sides = {
        "front": front,
        "back": scale(-1, front),
        "top": top,
        "bottom": scale(-1, top),
        "right": right,
        "left": scale(-1, right),
    }
    factors = [
        (sides[side], number(given, placement, lambda factor: factor != 0))
        for side, given in entry.get("ends", {}).items()
    ]
    rated = number(entry.get("rated_rpm"), placement)
    torque = number(entry.get("torque"), placement, lambda torque: torque >= 0)
    switched_on = number(entry.get("active", 1), placement)
    limit = entry.get("speed_limit_rpm", heading.get("speed_limit_rpm"))
    return Part(
        placement=placement,
        role=entry["role"],
        fits=entry.get("fits", heading["namespace"]),
        front=front,
        top=top,
        right=right,
        ends=tuple((normal, factor) for normal, factor in factors if factor is not None),
        rim=_rim(entry.get("rim"), placement),
        rated=rated,
        torque=torque,
        active=bool(rated and torque is not None and switched_on),
        limit=None if limit is None else Fraction(limit),
    )


def _rim(entry: dict[str, Any] | None, placement: Placement) -> Rim | None:
    if entry is None:
        return None
    teeth = number(entry["teeth"], placement, lambda teeth: teeth > 0)
    if teeth is None:
        return None
    kind = entry["kind"]
    return Rim(kind, teeth, frozenset(entry.get("placements", PLACEMENTS[kind])))


def frame(rule: dict[str, Any], properties: dict[str, str]) -> tuple[Vector, Vector, Vector]:
    """Return front, top and right in world directions; right = front × top.

    Raises
    ------
    NotUnderstoodError
        Where the properties give no pose.
    """
    if "axis" in rule:
        axes = {"x": "east", "y": "up", "z": "south"}
        front = _named(axes, properties, rule["axis"])
        top = None
    elif "facing" in rule:
        front = _named({face: face for face in WORLD}, properties, rule["facing"])
        top = None
    else:
        case = rule if "front" in rule else _first_case(rule["cases"], properties)
        front = case["front"]
        top = case.get("top")
    if top is None:
        top = {"up": "south", "down": "north"}.get(front, "up")
    return WORLD[front], WORLD[top], cross(WORLD[front], WORLD[top])


def _named(names: dict[str, str], properties: dict[str, str], key: str) -> str:
    value = properties.get(key)
    if value not in names:
        raise NotUnderstoodError(key)
    return names[value]


def _first_case(cases: list[dict[str, Any]], properties: dict[str, str]) -> dict[str, Any]:
    for case in cases:
        if all(properties.get(key) == value for key, value in case["when"].items()):
            return case
    raise NotUnderstoodError("no case matches")


def number(
    given: Any, placement: Placement, usable: Callable[[Fraction], bool] = lambda number: True
) -> Fraction | None:
    """Return a number of an entry for one block; None where there is none or it is unusable.

    `usable` says of a stored number whether it may be such a one.

    Raises
    ------
    NotUnderstoodError
        Where it depends on a property that is absent or has an unknown value.
    """
    if given is None:
        return None
    if not isinstance(given, dict):
        return Fraction(given)
    if "property" in given:
        value = placement.properties.get(given["property"])
        if value not in given["values"]:
            raise NotUnderstoodError(given["property"])
        return Fraction(given["values"][value])
    path = given["stored"]
    found = follow(placement.data or {}, (path,) if isinstance(path, str) else tuple(path))
    if found is None:
        return Fraction(given["default"]) if "default" in given else None
    value = meaning(found)
    if value is None:
        return None
    value *= Fraction(given.get("scale", 1))
    return value if abs(value) <= 10**9 and usable(value) else None
