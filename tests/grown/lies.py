"""The poses that the blocks of an entry can have."""

from __future__ import annotations

from typing import Any

from tests.judge.poses import frame
from tests.judge.vectors import WORLD, Vector, dot

FACES = tuple(WORLD)
#: The 24 poses as (front, top).
POSES = tuple(
    (front, top) for front in FACES for top in FACES if dot(WORLD[front], WORLD[top]) == 0
)


def pose_properties(rule: dict[str, Any]) -> list[dict[str, str]]:
    """Return properties for each pose that a rule can give, one set each."""
    if "axis" in rule:
        return [{rule["axis"]: axis} for axis in "xyz"]
    if "facing" in rule:
        return [{rule["facing"]: face} for face in FACES]
    if "cases" in rule:
        return [dict(case["when"]) for case in rule["cases"]]
    return [{}]


def frames(rule: dict[str, Any]) -> list[tuple[Vector, Vector, Vector]]:
    """Return the front, top and right of each pose that a rule can give."""
    return [frame(rule, properties) for properties in pose_properties(rule)]
