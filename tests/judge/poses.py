"""How a block lies in the world: the directions of its front, top and right."""

from __future__ import annotations

from typing import Any

from tests.judge.vectors import WORLD, Vector, add, cross, scale


class NotUnderstoodError(Exception):
    """A property that the entry needs is absent or has a value that the entry does not name."""


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


def in_world(own: list[int], directions: tuple[Vector, Vector, Vector]) -> Vector:
    """Return the way that steps along a part's own front, top and right lead in the world."""
    steps = [scale(count, way) for count, way in zip(own, directions, strict=True)]
    return add(add(steps[0], steps[1]), steps[2])


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
