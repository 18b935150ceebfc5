"""The frame of a part and its 24 poses, against rotations of scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analyzer.base.frame import FACES, pose_facing
from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX, UNIT_VECTORS
from tests.outside.shop import drive, plain, shop
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Frames and poses"
SCIPY = Source(
    Evidence.LIBRARY,
    "scipy.spatial.transform.Rotation: create_group, from_rotvec",
    "docs.scipy.org/doc/scipy/reference/generated/scipy.spatial.transform.Rotation.html",
)
GROUP = Check(
    SUBJECT,
    "FR1",
    "the 24 poses",
    "the rotations of the octahedron, each once, none of them a mirror image",
    SCIPY,
    why="whole numbers once rounded",
)
PITCH = Check(
    SUBJECT,
    "FR2",
    "fronts that look up and down: tops to the south and to the north",
    "a part that faces north, pitched up and down by a quarter turn about its right",
    SCIPY,
    why="whole numbers once rounded",
)
PORTS = Check(
    SUBJECT,
    "FR3",
    "a box with an end on top, facing each way, driven from behind, in a save",
    "what turns is the shaft to which the rotation carries the top",
    SCIPY,
    why="whole numbers once rounded",
)
TYPES = """
[parts."quayworks:upright"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {back = -1, top = 1}
"""
#: Quarter turns about the world's axes that carry a part that faces north to each facing.
TURNS = {
    "north": (0, 0, 0),
    "west": (0, 1, 0),
    "south": (0, 2, 0),
    "east": (0, -1, 0),
    "up": (1, 0, 0),
    "down": (-1, 0, 0),
}
NORTH, UP = np.array([0, 0, -1]), np.array([0, 1, 0])


def carried(vector: np.ndarray, facing: str) -> list[int]:
    """Turn a vector as the part is turned from facing north."""
    turned = Rotation.from_rotvec(np.pi / 2 * np.array(TURNS[facing])).apply(vector)
    return [round(float(one)) for one in turned]


@checked(GROUP)
def test_the_poses_are_the_rotations_of_the_octahedron() -> None:
    group = {tuple(one.ravel()) for one in np.rint(Rotation.create_group("O").as_matrix())}
    assert {tuple(one.ravel().astype(float)) for one in POSE_MATRIX} == group
    assert len(POSE_MATRIX) == len(group)


@checked(PITCH)
@pytest.mark.parametrize("facing", TURNS)
def test_a_front_implies_the_top_that_a_turn_from_north_gives(facing: str) -> None:
    faces = POSE_FACES[pose_facing(FACES.index(facing))]
    assert UNIT_VECTORS[faces[0]].tolist() == carried(NORTH, facing)
    assert UNIT_VECTORS[faces[2]].tolist() == carried(UP, facing)
    assert UNIT_VECTORS[faces[4]].tolist() == carried(np.cross(NORTH, UP), facing)


@checked(PORTS)
@pytest.mark.parametrize("facing", TURNS)
def test_the_end_on_top_leads_where_the_turn_carries_it(facing: str) -> None:
    here = np.array([5, 65, 5])
    front, top = np.array(carried(NORTH, facing)), np.array(carried(UP, facing))
    sides = [np.array(one) for one in UNIT_VECTORS.tolist() if np.cross(one, front).any()]
    hall = shop(
        [
            drive(tuple((here - front).tolist()), f"engine[facing={facing},lit=true]", Rpm=60),
            plain(tuple(here.tolist()), f"upright[facing={facing}]"),
            *(plain(tuple((here + side).tolist()), f"shaft[axis={axis(side)}]") for side in sides),
        ],
        TYPES,
    )
    turning = [side.tolist() for side in sides if hall.rpm(*(here + side).tolist())]
    assert turning == [top.tolist()]


def axis(vector: np.ndarray) -> str:
    return "xyz"[int(np.flatnonzero(vector)[0])]
