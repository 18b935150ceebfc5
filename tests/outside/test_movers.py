"""Several prime movers on one shaft."""

from __future__ import annotations

import pytest

from analyzer.demo.content import Placement
from analyzer.solution.solution import State
from tests.outside.shop import drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Several prime movers"
OPPOSED = Check(
    SUBJECT,
    "MV1",
    "two movers on one shaft that push opposite ways, directly and through an idler",
    "no speed satisfies both",
    Source(Evidence.COMMON, "a rigid shaft has one speed"),
)
SUM = Check(
    SUBJECT,
    "MV2",
    "movers of 60 rpm x 4 and 60 rpm x 5 on one shaft",
    "540: what they give adds up",
    Source(Evidence.COMMON, "powers in parallel add up"),
)
DRAGGED = Check(
    SUBJECT,
    "MV3",
    "movers of 60 and 20 rpm in one sense on one shaft",
    "the fastest leads; the other is dragged and gives its full rating",
    Source(Evidence.COMMON, "a convention of this project, stated in its docs"),
)
UNEQUAL = Check(
    SUBJECT,
    "MV4",
    "movers of 60 and 20 rpm where the catalogue says that unequal movers contradict",
    "no speed; equal ones turn",
    Source(Evidence.COMMON, "generators in parallel must run at one speed"),
)
RESTING = Check(
    SUBJECT,
    "MV5",
    "a mover that is switched off, or rated 0, beside one that drives",
    "it is turned along and gives nothing",
    Source(Evidence.COMMON, "an engine that is stopped gives no power"),
)


def engine(x: int, rpm: int, torque: int = 4, facing: str = "east", lit: str = "true") -> Placement:
    return drive((x, 64, 0), f"engine[facing={facing},lit={lit}]", Rpm=rpm, Torque=torque)


@checked(OPPOSED)
@pytest.mark.parametrize(
    ("facing", "rpm", "state"),
    [
        ("east", 60, State.TURNING),
        ("east", -60, State.CONFLICTING),
        ("west", 60, State.CONFLICTING),
        ("west", -60, State.TURNING),
    ],
)
def test_movers_turn_one_shaft_only_the_same_way_round(facing: str, rpm: int, state: State) -> None:
    hall = shop([engine(0, 60), plain((1, 64, 0), "shaft[axis=x]"), engine(2, rpm, facing=facing)])
    assert hall.state(1, 64, 0) is state
    assert hall.rpm(1, 64, 0) == (60 if state is State.TURNING else None)


@checked(OPPOSED)
@pytest.mark.parametrize("other", [60, -60])
def test_movers_joined_by_one_pair_of_gears_must_push_opposite_ways(other: int) -> None:
    hall = shop(
        [
            engine(0, 60),
            plain((1, 64, 0), "gear_20[axis=x]"),
            plain((1, 64, 1), "gear_20[axis=x]"),
            drive((0, 64, 1), "engine[facing=east,lit=true]", Rpm=other, Torque=4),
        ]
    )
    assert hall.state(1, 64, 1) is (State.CONFLICTING if other > 0 else State.TURNING)


@checked(OPPOSED)
@pytest.mark.parametrize("first", [0, 2])
def test_the_sense_of_a_mover_is_carried_through_its_gears(first: int) -> None:
    """The smallest part of the zone turns the other way round than either engine's shaft."""
    hall = shop(
        [
            plain((0, 63, 0), "gear_20[axis=x]"),
            plain((0, 64, 0), "gear_20[axis=x]"),
            engine(1, 60),
            plain((2, 64, 0), "shaft[axis=x]"),
            engine(3, 60 if first else -60),
        ]
    )
    assert hall.state(0, 63, 0) is (State.TURNING if first else State.CONFLICTING)
    assert hall.rpm(0, 63, 0) == (-60 if first else None)


@checked(SUM)
def test_what_several_movers_give_adds_up() -> None:
    assert shop([engine(0, 60), engine(1, 60, torque=5)]).powers(0, 64, 0) == (540, 0)
    assert shop([engine(0, 60), engine(1, 60)]).powers(0, 64, 0) == (480, 0)


@checked(DRAGGED)
@pytest.mark.parametrize("speeds", [(60, 20), (20, 60), (-60, -20)])
def test_the_fastest_of_several_movers_leads(speeds: tuple[int, int]) -> None:
    hall = shop([engine(0, speeds[0]), engine(1, speeds[1])])
    fastest = max(speeds, key=abs)
    assert (hall.rpm(0, 64, 0), hall.rpm(1, 64, 0)) == (fastest, fastest)
    assert hall.powers(0, 64, 0) == (320, 0)


@checked(DRAGGED)
def test_the_fastest_is_judged_where_the_gears_bring_it() -> None:
    """30 rpm on the wheel of twice the teeth is 60 on the other, above the 50 there."""
    hall = shop(
        [
            engine(0, 30),
            plain((1, 64, 0), "gear_40[axis=x]"),
            plain((1, 64, 1), "gear_20[axis=x]"),
            drive((0, 64, 1), "engine[facing=east,lit=true]", Rpm=-50, Torque=4),
        ]
    )
    assert (hall.rpm(0, 64, 0), hall.rpm(0, 64, 1)) == (30, -60)


@checked(UNEQUAL)
@pytest.mark.parametrize(("rpm", "state"), [(60, State.TURNING), (20, State.CONFLICTING)])
def test_unequal_movers_contradict_where_the_catalogue_says_so(rpm: int, state: State) -> None:
    hall = shop([engine(0, 60), engine(1, rpm)], head={"unequal_movers": '"conflict"'})
    assert hall.state(0, 64, 0) is state


@checked(RESTING)
@pytest.mark.parametrize(("rpm", "lit"), [(-90, "false"), (0, "true")])
def test_a_mover_that_rests_is_turned_along_and_gives_nothing(rpm: int, lit: str) -> None:
    hall = shop([engine(0, 60), engine(1, rpm, lit=lit)])
    assert hall.rpm(1, 64, 0) == 60
    assert hall.powers(0, 64, 0) == (240, 0)
