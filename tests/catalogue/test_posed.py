from __future__ import annotations

import random
from fractions import Fraction

import pytest

from analyzer.base.frame import FACES, POSES, axis_of, pose_of, to_world
from analyzer.base.placements import contact_signs
from analyzer.catalogue.catalogue import (
    Meeting,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
    PoseFixed,
)
from analyzer.catalogue.posed import meeting_signs, poses_of


def pose(front: str, top: str) -> int:
    return pose_of(FACES.index(front), FACES.index(top))


@pytest.mark.parametrize(
    ("front", "top", "cell"),
    [
        ("east", "up", (1, 2, 3)),
        ("west", "up", (-1, 2, -3)),
        ("south", "up", (-3, 2, 1)),
        ("north", "up", (3, 2, -1)),
        ("up", "south", (3, 1, 2)),
        ("down", "north", (3, -1, -2)),
        ("east", "south", (1, -3, 2)),
    ],
)
def test_one_step_to_the_front_two_up_and_three_to_the_right_lie_where_the_pose_says(
    front: str, top: str, cell: tuple[int, int, int]
) -> None:
    assert to_world(pose(front, top), (1, 2, 3)) == cell


def test_the_poses_of_a_type_are_those_that_its_rule_can_give() -> None:
    up = pose("up", "south")
    assert poses_of(PoseFixed(up)) == (up,)
    fronts = [FACES[POSES[one][0]] for one in poses_of(PoseByAxis("axis"))]
    assert sorted(fronts) == ["east", "south", "up"]
    fronts = [FACES[POSES[one][0]] for one in poses_of(PoseByFacing("facing"))]
    assert sorted(fronts) == sorted(FACES)
    cases = PoseByCases((((("a", "1"),), 7), ((("a", "2"),), 3), ((("b", "1"),), 7)))
    assert poses_of(cases) == (3, 7)


def test_signs_turned_with_a_pose_are_those_of_the_turned_contact() -> None:
    rng = random.Random(24)
    coupled = 0
    for _ in range(1000):
        at = (rng.randint(-3, 3), rng.randint(-3, 3), rng.randint(-1, 1))
        contact = (rng.randint(-2, 2), rng.randint(-3, 3), rng.randint(-1, 1))
        for number in rng.sample(range(24), 6):
            found = meeting_signs(Meeting(at, ("q:a",), None, contact), number)
            assert found == contact_signs(
                axis_of(POSES[number][0]),
                offset=to_world(number, at),
                contact=to_world(number, contact),
            )
            coupled += any(found)
    assert coupled > 500


def test_parallel_teeth_reverse_and_a_stated_ratio_has_its_own_sign_in_every_pose() -> None:
    for number, (front, _) in enumerate(POSES):
        axis = axis_of(front)
        for meeting, sign in (
            (Meeting((0, 2, 0), ("q:a",), None, None), -1),
            (Meeting((0, 2, 0), ("q:a",), Fraction(3), None), 1),
            (Meeting((0, 2, 0), ("q:a",), Fraction(-3), None), -1),
        ):
            assert meeting_signs(meeting, number) == tuple(
                sign if other == axis else 0 for other in range(3)
            )
