"""Ends and rims couple within one class only."""

from __future__ import annotations

import pytest

from tests.outside.shop import drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "What fits what"
ENDS = Check(
    SUBJECT,
    "FT1",
    "a heavy shaft end to end with a light one that an engine turns; with a heavy one",
    "it stands; it turns",
    Source(Evidence.COMMON, "a shaft turns another only where a coupling joins them"),
)
RIMS = Check(
    SUBJECT,
    "FT2",
    "a gear of one class beside a gear of another that an engine turns, and of its own",
    "it stands; it turns",
    Source(Evidence.COMMON, "teeth of different pitches do not mesh"),
)
TYPES = """
[parts."quayworks:heavy_gear"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
rim = {kind = "near", teeth = 20}
fits = "quayworks-heavy"

[parts."quayworks:heavy_engine"]
role = "mover"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
rated_rpm = 60
torque = 1
fits = "quayworks-heavy"
"""


@checked(ENDS)
@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_ends_of_different_classes_do_not_join(axis: str) -> None:
    step = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}[axis]
    here, after = (2, 64, 2), tuple(a + b for a, b in zip((2, 64, 2), step, strict=True))
    facing = {"x": "east", "y": "up", "z": "south"}[axis]
    gear = plain((after[0], after[1], after[2]), f"heavy_gear[axis={axis}]")
    light = shop([drive(here, f"engine[facing={facing},lit=true]", Rpm=60), gear], TYPES)
    heavy = shop([plain(here, f"heavy_engine[axis={axis}]"), gear], TYPES)
    assert (light.rpm(*after), heavy.rpm(*after)) == (None, 60)


@checked(RIMS)
def test_rims_of_different_classes_do_not_mesh() -> None:
    found = {}
    for first in ("gear_20", "heavy_gear"):
        hall = shop(
            [
                drive((0, 64, 0), "engine[facing=east,lit=true]", Rpm=60),
                plain((0, 64, 3), "heavy_engine[axis=x]"),
                plain((1, 64, 0), f"{first}[axis=x]"),
                plain((1, 64, 3), "heavy_gear[axis=x]"),
                plain((1, 64, 1 if first == "gear_20" else 2), "heavy_gear[axis=x]"),
            ],
            TYPES,
        )
        found[first] = hall.rpm(1, 64, 1 if first == "gear_20" else 2)
    assert found == {"gear_20": None, "heavy_gear": -60}
