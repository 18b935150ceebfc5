"""Clutches and reversers, against the reversing gear of a lathe."""

from __future__ import annotations

import pytest

from analyzer.solution.solution import State
from tests.outside.shop import Shop, drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Clutches and reversers"
ROSE = Source(
    Evidence.PUBLISHED,
    "J. Rose, *Modern Machine-Shop Practice*, text at Figs. 566 to 568",
    "bitlit.ru/page/en/joshua-rose/modern-machine-shop-practice-volumes-i-and-ii/306 and /307",
)
TUMBLER = Check(
    SUBJECT,
    "SW1",
    "reversing gear of a lathe between spindle and lead screw: lever up, down, in the middle",
    "same direction as the spindle, opposite direction, at rest",
    ROSE,
    why="directions alone are compared",
)
TWICE = Check(
    SUBJECT,
    "SW2",
    "two reversing gears in a row, both reversed",
    "the second undoes the first",
    Source(Evidence.COMMON, "two reversals of sense are none"),
)
CLUTCH = Check(
    SUBJECT,
    "SW3",
    "a jaw clutch that is out between an engine and a mill, from either side",
    "the mill stands, the engine runs on; put in, both turn at one speed",
    Source(Evidence.COMMON, "what a jaw clutch is for"),
)
TYPES = """
[parts."quayworks:tumbler"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = 1, back = -1}
switch = {kind = "reverser", flips = "front", on = {property = "lever", values = {up = 0, dn = 1}}}

[parts."quayworks:jaw"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = 1, back = -1}
switch = {kind = "clutch", opens = ["front"], on = {property = "lever", values = {in = 1, out = 0}}}
"""


def lathe(*between: str) -> Shop:
    """An engine at 60 rpm, some parts in a row to the east of it, and a mill at the end."""
    return shop(
        [
            drive((0, 64, 0), "engine[facing=east,lit=true]", Rpm=60, Torque=4),
            *(plain((1 + step, 64, 0), state) for step, state in enumerate(between)),
            drive((1 + len(between), 64, 0), "mill[facing=east]"),
        ],
        TYPES,
    )


@checked(TUMBLER)
@pytest.mark.parametrize("facing", ["east", "west"])
def test_a_tumbler_gear_reverses_the_lead_screw_while_its_lever_is_down(facing: str) -> None:
    up, down = (lathe(f"tumbler[facing={facing},lever={lever}]") for lever in ("up", "dn"))
    assert (up.rpm(0, 64, 0), up.rpm(2, 64, 0)) == (60, 60)
    assert (down.rpm(0, 64, 0), down.rpm(2, 64, 0)) == (60, -60)


@checked(TUMBLER)
def test_with_the_lever_in_the_middle_nothing_reaches_the_lead_screw() -> None:
    middle = lathe("tumbler[facing=east,lever=up]", "jaw[facing=east,lever=out]")
    assert (middle.rpm(1, 64, 0), middle.rpm(3, 64, 0)) == (60, None)
    assert middle.state(3, 64, 0) is State.IDLE


@checked(TWICE)
@pytest.mark.parametrize("facings", [("east", "east"), ("east", "west"), ("west", "east")])
def test_two_reversing_gears_in_a_row_multiply(facings: tuple[str, str]) -> None:
    for levers, rpm in {"up up": 60, "up dn": -60, "dn up": -60, "dn dn": 60}.items():
        row = lathe(
            *(
                f"tumbler[facing={facing},lever={lever}]"
                for facing, lever in zip(facings, levers.split(), strict=True)
            )
        )
        assert row.rpm(3, 64, 0) == rpm, levers


@checked(CLUTCH)
@pytest.mark.parametrize("facing", ["east", "west"])
def test_a_clutch_that_is_out_parts_the_drive_from_either_side(facing: str) -> None:
    into, out = (lathe(f"jaw[facing={facing},lever={lever}]") for lever in ("in", "out"))
    assert (into.rpm(0, 64, 0), into.rpm(2, 64, 0)) == (60, 60)
    assert into.powers(0, 64, 0) == (240, 60)
    assert (out.rpm(0, 64, 0), out.rpm(2, 64, 0)) == (60, None)
    assert out.state(2, 64, 0) is State.IDLE
