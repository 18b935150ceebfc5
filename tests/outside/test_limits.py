"""Limits: the limit itself is allowed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.solution.solution import Motion
from tests.outside.shop import drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked
from tests.support.mechanism import SHAFT, mechanism, mover

SUBJECT = "Limits"
LEAST = Fraction(1, 10**6)
OVER = Check(
    SUBJECT,
    "LM1",
    "a spindle at its marked operating speed of 120 rpm, and a millionth above",
    "allowed; over-speed: the speed must not exceed the marked one",
    Source(
        Evidence.PUBLISHED,
        "29 CFR 1910.243(c)(5), mounting of abrasive wheels",
        "up.codes/s/mounting-and-inspection-of-abrasive-wheels",
    ),
    why="the source gives the comparison, not the numbers",
)
OVER_STATE = Check(
    SUBJECT,
    "LM2",
    "the same, said the other way round, turning backwards",
    "not greater than the operating speed of the wheel",
    Source(
        Evidence.PUBLISHED,
        "Washington Administrative Code 296-806-40512 (1)(c)",
        "lawfilesext.leg.wa.gov/Law/WAC/WAC%20296%20%20TITLE/WAC%20296%20-806%20%20CHAPTER/"
        "WAC%20296%20-806%20-40512.htm",
    ),
    why="the source gives the comparison, not the numbers",
)
SLOW = Check(
    SUBJECT,
    "LM3",
    "a mill at its least speed of 120 rpm, and a millionth below",
    "enough; too slow",
    Source(Evidence.COMMON, "a least speed is itself enough"),
)
SPREAD = Check(
    SUBJECT,
    "LM4",
    "speeds of one drive spread over 2^256 exactly, and over more",
    "in range; out of range",
    Source(Evidence.COMMON, "a bound of this project, stated in its docs"),
)
TYPES = """
[parts."quayworks:spindle"]
role = "machine"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
torque = 1
speed_limit_rpm = 120

[parts."quayworks:bolter"]
role = "machine"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
torque = 1
least_rpm = 120
"""


def rules(state: str, scaled_rpm: float) -> list[str]:
    """The findings about a machine driven by an engine that stores its speed."""
    hall = shop(
        [
            drive((0, 64, 0), "engine[facing=east,lit=true]", Rpm=scaled_rpm, Torque=4),
            plain((1, 64, 0), state),
        ],
        TYPES,
    )
    return hall.rules


@checked(OVER)
@pytest.mark.parametrize(
    ("rpm", "found"), [(119.999999, []), (120.0, []), (120.000001, ["over-speed"])]
)
def test_the_marked_operating_speed_itself_is_allowed(rpm: float, found: list[str]) -> None:
    assert rules("spindle[axis=x]", rpm) == found


@checked(OVER_STATE)
@pytest.mark.parametrize(("rpm", "found"), [(-120.0, []), (-120.000001, ["over-speed"])])
def test_the_limit_holds_whichever_way_it_turns(rpm: float, found: list[str]) -> None:
    assert rules("spindle[axis=x]", rpm) == found


@checked(SLOW)
@pytest.mark.parametrize(
    ("rpm", "found"),
    [(120.0, []), (-120.0, []), (119.999999, ["too-slow"]), (-119.999999, ["too-slow"])],
)
def test_the_least_speed_itself_is_enough(rpm: float, found: list[str]) -> None:
    assert rules("bolter[axis=x]", rpm) == found


@checked(SPREAD)
@pytest.mark.parametrize(
    ("last", "motion"),
    [
        (Fraction(2) ** 56, Motion.TURNS),
        (Fraction(2) ** 56 * (1 + LEAST), Motion.OUT_OF_RANGE),
        (Fraction(2) ** 57, Motion.OUT_OF_RANGE),
    ],
)
def test_speeds_may_spread_over_two_to_the_256th(last: Fraction, motion: Motion) -> None:
    case = mechanism([mover(1), SHAFT, SHAFT], [(0, 1, Fraction(2) ** 200), (1, 2, last)])
    assert Motion(int(case.solution.motion[0])) is motion
