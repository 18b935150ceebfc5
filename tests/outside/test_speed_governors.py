"""Governors, against what a constant-speed governor is."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.demo.content import Placement
from analyzer.solution.solution import State
from tests.outside.shop import Shop, drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Governors"
CONSTANT = Source(
    Evidence.PUBLISHED,
    "*Difference between an over speed governor and a constant speed governor* (2020)",
    "meoexamnotes.in/2020/04/difference-between-over-speed-governor.html",
)
SETPOINT = Check(
    SUBJECT,
    "GV1",
    "what is behind a constant-speed governor set to 30 rpm, driven at 10, 60 and 90 rpm",
    "30 rpm each time: it holds the speed at the set point",
    CONSTANT,
    why="the source gives the behaviour, not the numbers",
)
SENSE = Check(
    SUBJECT,
    "GV2",
    "the sense behind a governor: of its own, or that of what drives it",
    "as the catalogue says, whichever way the engine turns",
    Source(Evidence.COMMON, "both kinds of drive exist; the rule is this project's"),
)
BUDGET = Check(
    SUBJECT,
    "GV3",
    "power of a mill behind a governor, engine 60 rpm x 4, mill 30 rpm x 2",
    "240 given, 60 asked for, one budget",
    Source(Evidence.COMMON, "a speed changer passes power on; losses are left out"),
)
CONFLICT = Check(
    SUBJECT,
    "GV4",
    "one shaft held at 30 and at 45 rpm by two governors; an engine against a governor",
    "neither can turn: a rigid shaft has one speed",
    Source(Evidence.COMMON, "a rigid shaft has one speed"),
)
TYPES = """
[parts."quayworks:governor"]
role = "transmission"
entity = ["quayworks:drive"]
pose = {facing = "facing"}
ends = {front = 1, back = -1}
governor = {port = "front", set_rpm = {stored = "Set"}, sense = "own"}

[parts."quayworks:follower"]
role = "transmission"
entity = ["quayworks:drive"]
pose = {facing = "facing"}
ends = {front = 2, back = -1}
governor = {port = "front", set_rpm = {stored = "Set"}, sense = "follow"}
"""


def engine(at: tuple[int, int, int], rpm: int, facing: str = "east") -> Placement:
    return drive(at, f"engine[facing={facing},lit=true]", Rpm=rpm, Torque=4)


def governed(engine_rpm: int, set_rpm: int, *beyond: Placement, kind: str = "governor") -> Shop:
    """An engine, a governor to the east of it, a mill behind, and what else stands beyond."""
    return shop(
        [
            engine((0, 64, 0), engine_rpm),
            drive((1, 64, 0), f"{kind}[facing=east]", Set=set_rpm),
            drive((2, 64, 0), "mill[facing=east]", Torque=2),
            *beyond,
        ],
        TYPES,
    )


@checked(SETPOINT)
@pytest.mark.parametrize("engine_rpm", [10, 60, 90])
def test_a_governor_holds_the_set_speed_whatever_drives_it(engine_rpm: int) -> None:
    hall = governed(engine_rpm, 30)
    assert [hall.rpm(x, 64, 0) for x in range(3)] == [engine_rpm, engine_rpm, 30]


@checked(SETPOINT)
def test_gears_behind_a_governor_multiply_the_set_speed() -> None:
    hall = governed(
        60, 30, plain((3, 64, 0), "gear_40[axis=x]"), plain((3, 65, 0), "gear_20[axis=x]")
    )
    assert [hall.rpm(2, 64, 0), hall.rpm(3, 64, 0), hall.rpm(3, 65, 0)] == [30, 30, -60]


@checked(SETPOINT)
def test_a_train_that_starts_behind_the_gears_is_held_too() -> None:
    """The smallest part of the governed zone is not the one at the governor."""
    hall = governed(
        60,
        30,
        plain((3, 64, 0), "gear_40[axis=x]"),
        plain((3, 63, 0), "gear_20[axis=x]"),
        plain((2, 63, 0), "shaft[axis=x]"),
        plain((1, 63, 0), "shaft[axis=x]"),
    )
    assert [hall.rpm(2, 64, 0), hall.rpm(1, 63, 0)] == [30, -60]


@checked(SENSE)
def test_a_governor_with_a_sense_of_its_own_keeps_it() -> None:
    assert governed(60, -30).rpm(2, 64, 0) == -30
    assert governed(-60, 30).rpm(2, 64, 0) == 30


@checked(SENSE)
def test_a_governor_that_follows_takes_the_driving_sense() -> None:
    """Its port turns at the set speed whatever the factor of its end, so what is coupled does."""
    for engine_rpm, rpm in {60: 30, -60: -30}.items():
        assert governed(engine_rpm, 30, kind="follower").rpm(2, 64, 0) == rpm


@checked(SETPOINT)
def test_a_set_speed_of_nothing_holds_what_is_behind_at_rest() -> None:
    hall = governed(60, 0)
    assert [hall.rpm(x, 64, 0) for x in range(3)] == [60, 60, 0]
    assert hall.powers(2, 64, 0) == (240, 0)


@checked(SETPOINT)
def test_a_governor_drives_the_next_one() -> None:
    """Only the first has an engine before it."""
    hall = governed(
        60,
        30,
        drive((3, 64, 0), "governor[facing=east]", Set=45),
        drive((4, 64, 0), "mill[facing=east]", Torque=2),
    )
    assert [hall.rpm(2, 64, 0), hall.rpm(4, 64, 0)] == [30, 45]


@checked(SETPOINT)
def test_what_is_held_at_rest_drives_nothing_further() -> None:
    """An engine of its own does not turn it, and so turns nothing behind the next governor."""
    hall = governed(
        60,
        0,
        engine((3, 64, 0), 20),
        drive((4, 64, 0), "governor[facing=east]", Set=45),
        drive((5, 64, 0), "mill[facing=east]", Torque=2),
    )
    assert [hall.rpm(3, 64, 0), hall.rpm(5, 64, 0)] == [0, 0]


@checked(BUDGET)
def test_both_sides_of_a_governor_share_one_budget() -> None:
    hall = governed(60, 30)
    assert hall.powers(0, 64, 0) == hall.powers(2, 64, 0) == (240, 60)


@checked(CONFLICT)
@pytest.mark.parametrize(("second", "state"), [(-30, State.TURNING), (-45, State.CONFLICTING)])
def test_two_governors_of_one_shaft_must_agree(second: int, state: State) -> None:
    """The second looks west, so that its set speed has the other sign."""
    hall = governed(
        60,
        30,
        drive((3, 64, 0), "governor[facing=west]", Set=second),
        engine((4, 64, 0), 60, facing="west"),
    )
    assert hall.state(2, 64, 0) is state


@checked(CONFLICT)
@pytest.mark.parametrize(("rpm", "state"), [(20, State.TURNING), (-20, State.CONFLICTING)])
def test_an_engine_may_be_dragged_by_a_governor_but_not_push_against_it(
    rpm: int, state: State
) -> None:
    hall = governed(60, 30, engine((3, 64, 0), rpm))
    assert hall.state(2, 64, 0) is state
    if state is State.TURNING:
        assert (hall.rpm(3, 64, 0), hall.powers(0, 64, 0)) == (Fraction(30), (320, 60))
