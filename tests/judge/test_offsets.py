"""The judge on own offsets and on parts of several blocks, each worked out by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from tests.judge.build import driving, here, loaded, shaft, solved, speed_at, wheel

CHAIN = {"at": [0, 1, 0], "types": ["sprocket"], "ratio": 1}


def test_a_chain_round_neighbouring_wheels_turns_both_the_same_way() -> None:
    # Two sprockets that one chain goes round turn the same way: Britannica, 11th ed., "Mechanics",
    # applied part, wrapping connectors.
    entries = {"sprocket": shaft(meets=[CHAIN]), "motor": driving(shaft(meets=[CHAIN]), 6)}
    verdicts = solved(entries, {(0, 0, 0): ("motor", "east"), (0, 1, 0): ("sprocket", "east")})
    assert speed_at(verdicts, 0, 1, 0) == 6


@pytest.mark.parametrize(
    ("ratio", "facing", "speed"),
    [
        (Fraction(-3, 2), "east", -6),
        # World speeds: that the other one looks back does not change which way round it goes.
        (Fraction(-3, 2), "west", -6),
        ([2, 3], "west", Fraction(8, 3)),
        # Axes at a right angle, with a stated ratio: nothing couples.
        (1, "south", None),
    ],
)
def test_a_stated_ratio_holds_between_parallel_axes_alone(
    ratio: Any, facing: str, speed: Any
) -> None:
    entries = {
        "motor": driving(shaft(meets=[{**CHAIN, "ratio": ratio}]), 4),
        "sprocket": shaft(fits="something-else"),
    }
    verdicts = solved(entries, {(0, 0, 0): ("motor", "east"), (0, 1, 0): ("sprocket", facing)})
    assert speed_at(verdicts, 0, 1, 0) == speed
    assert len(verdicts) == (2 if speed is None else 1)


def test_an_own_offset_turns_with_its_lister() -> None:
    # Facing up the top is south, so one step towards the top is one step south.
    entries = {"motor": driving(shaft(meets=[CHAIN]), 4), "sprocket": shaft()}
    build = {(0, 0, 0): ("motor", "up"), (0, 1, 0): ("sprocket", "up")}
    for place, speed in (((0, 0, 1), 4), ((0, 0, -1), None), ((1, 0, 0), None)):
        verdicts = solved(entries, {**build, place: ("sprocket", "down")})
        assert speed_at(verdicts, *place) == speed


def test_the_listings_of_both_sides_are_one_coupling_and_other_types_are_not_met() -> None:
    back = {"at": [0, -1, 0], "types": ["motor"], "ratio": [1, 2]}
    entries = {
        "motor": driving(shaft(meets=[{**CHAIN, "ratio": 2}]), 4),
        "sprocket": shaft(meets=[back]),
        "other": shaft(meets=[{**back, "types": ["sprocket"]}]),
    }
    first, second = solved(
        entries,
        {
            (0, 0, 0): ("motor", "east"),
            (0, 1, 0): ("sprocket", "east"),
            (0, -1, 0): ("other", "east"),
        },
    )
    assert (len(first.members), len(second.members)) == (1, 2)
    assert len(second.couplings) == 1
    assert second.speeds[here(0, 1, 0)] == 8


def test_toothed_wheels_two_cells_apart_turn_opposite_ways_inversely_as_their_teeth() -> None:
    meets = [{"at": [0, 2, 0], "types": ["big"], "toothed": True}]
    entries = {"small": driving(wheel(8, meets=meets), 30), "big": wheel(24, "far")}
    verdicts = solved(entries, {(0, 0, 0): ("small", "x"), (0, 2, 0): ("big", "x")})
    assert speed_at(verdicts, 0, 2, 0) == -10
    # Without parallel axes, and without teeth, nothing couples.
    assert (
        speed_at(solved(entries, {(0, 0, 0): ("small", "x"), (0, 2, 0): ("big", "z")}), 0, 2, 0)
        is None
    )
    entries["big"] = shaft()
    assert len(solved(entries, {(0, 0, 0): ("small", "x"), (0, 2, 0): ("big", "east")})) == 2


@pytest.mark.parametrize(
    ("contact", "pose", "speed"),
    [
        # Axes x through (0,0,0) and y through (1,2,0) meet at (1,0,0). Contact above and west of
        # there, at (0,2,0): v = x × (0,2,0) = (0,0,2) against y × (-1,0,0) = (0,0,1): the same.
        ([0, 2, 0], "y", 6),
        # East of there, at (2,1,0): (0,0,1) against y × (1,-1,0) = (0,0,-1).
        ([2, 1, 0], "y", -6),
        # On the first axis the first wheel does not move; on the second one the other does not.
        ([1, 0, 0], "y", None),
        ([1, 2, 0], "y", None),
        # Out of the plane of the axes both slip.
        ([0, 2, 1], "y", None),
        # Axes x and z through these places are skew, and x and x are parallel.
        ([0, 2, 0], "z", None),
        ([0, 2, 0], "x", None),
    ],
)
def test_wheels_on_crossing_axes_turn_as_no_slip_at_the_contact_wants(
    contact: list[int], pose: str, speed: Any
) -> None:
    meets = [{"at": [1, 2, 0], "types": ["big"], "toothed": True, "contact": contact}]
    entries = {"small": driving(wheel(8, meets=meets), 12), "big": wheel(16, "far")}
    verdicts = solved(entries, {(0, 0, 0): ("small", "x"), (1, 2, 0): ("big", pose)})
    assert speed_at(verdicts, 1, 2, 0) == speed


def test_a_pair_coupled_twice_at_two_ratios_is_a_loop_of_two() -> None:
    meets = [{"at": [1, 0, 0], "types": ["next"], "ratio": 2}]
    entries = {"first": driving(shaft(meets=meets), 3), "next": shaft()}
    (network,) = solved(entries, {(0, 0, 0): ("first", "east"), (1, 0, 0): ("next", "east")})
    assert (network.state, network.conflict, network.loops) == ("conflicting", "loop", (2,))


TALL = {
    "ends": {"front": 1, "back": {"factor": -2, "cell": [0, 1, 0]}},
    "rim": {"kind": "near", "teeth": 10, "cell": [1, 0, -1]},
}


def test_an_end_on_another_cell_joins_what_is_beyond_that_cell() -> None:
    # Facing east: front east, top up, right south. The back of the upper cell looks west.
    entries = {"tall": driving(shaft(**TALL), 4), "shaft": shaft()}
    build = {(0, 0, 0): ("tall", "east")}
    verdicts = solved(
        entries, {**build, (-1, 1, 0): ("shaft", "east"), (1, 0, 0): ("shaft", "west")}
    )
    # Outward -2 × 4 about west is 8 about east; the shaft's front end looks back at it.
    assert speed_at(verdicts, -1, 1, 0) == 8
    assert speed_at(verdicts, 1, 0, 0) == 4
    assert len(solved(entries, {**build, (-1, 0, 0): ("shaft", "east")})) == 2


def test_a_rim_on_another_cell_meshes_round_that_cell() -> None:
    # Facing east, cell (1, 0, -1) is one east and one north of the block.
    entries = {"tall": driving(shaft(**TALL), 4), "wheel": wheel(5)}
    verdicts = solved(entries, {(0, 0, 0): ("tall", "east"), (1, 1, -1): ("wheel", "x")})
    assert speed_at(verdicts, 1, 1, -1) == -8
    # Facing north it is one north and one west; no wheel beside the block itself is touched.
    verdicts = solved(
        entries,
        {(0, 0, 0): ("tall", "north"), (-1, 1, -1): ("wheel", "z"), (0, 1, 0): ("wheel", "z")},
    )
    assert speed_at(verdicts, -1, 1, -1) == 8
    assert speed_at(verdicts, 0, 1, 0) is None


def test_two_parts_may_meet_at_several_cells() -> None:
    entries = {
        "double": shaft(ends={"front": 1, "back": -1, "top": 1}),
        "motor": driving(shaft(ends={"front": 1, "bottom": {"factor": -1, "cell": [1, 1, 0]}}), 5),
    }
    # The motor's front meets the double's back; its bottom, one east and one up, the double's top.
    (network,) = solved(entries, {(0, 0, 0): ("motor", "east"), (1, 0, 0): ("double", "east")})
    assert len(network.couplings) == 2
    assert network.state == "turning"


def test_the_other_half_of_a_part_is_no_part() -> None:
    entries = {"tall": driving(shaft(only={"half": ["lower", "single"]}), 4)}
    upright = ("tall", "up", None)
    verdicts = solved(
        entries,
        {
            (0, 0, 0): (*upright, {"half": "lower"}),
            (0, 1, 0): (*upright, {"half": "upper"}),
            (0, 5, 0): (*upright, {"half": "single"}),
            (0, 9, 0): upright,
        },
    )
    assert [verdict.members for verdict in verdicts] == [(here(0, 0, 0),), (here(0, 5, 0),)]


@pytest.mark.parametrize(
    ("least", "slow"), [(Fraction(799, 100), False), (8, False), (Fraction(801, 100), True)]
)
def test_a_machine_is_too_slow_below_its_least_speed(least: Any, slow: bool) -> None:
    entries = {"motor": driving(shaft(), -8), "loom": loaded(shaft(), 0, least_rpm=least)}
    (network,) = solved(entries, {(0, 0, 0): ("motor", "east"), (1, 0, 0): ("loom", "east")})
    assert network.too_slow == (frozenset({here(1, 0, 0)}) if slow else frozenset())


def test_speeds_that_spread_beyond_two_to_the_256_are_not_given() -> None:
    for steps, spread in ((256, False), (257, True)):
        entries = {
            "motor": driving(shaft(ends={"front": 1}), 1),
            "step": shaft(ends={"back": -1, "front": 2}),
        }
        row = {(x, 0, 0): ("step", "east") for x in range(1, steps + 2)}
        (network,) = solved(entries, {(0, 0, 0): ("motor", "east"), **row})
        assert network.state == "turning"
        assert bool(network.out_of_range) == spread
        assert network.speeds[here(0, 0, 0)] == (None if spread else 1)
        # A part of the row too many makes no loop, and a loop is found all the same.
        entries["step"] = {
            **entries["step"],
            "meets": [{"at": [1, 0, 0], "types": ["step"], "ratio": 3}],
        }
        (network,) = solved(entries, {(0, 0, 0): ("motor", "east"), **row})
        assert network.conflict == "loop"
