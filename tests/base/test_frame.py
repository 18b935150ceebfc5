"""Frames and poses, held against the rotation group of the cube."""

import numpy as np
from scipy.spatial.transform import Rotation

from analyzer.base.frame import (
    FACES,
    POSE_FACES,
    POSE_MATRIX,
    POSE_OF,
    POSES,
    SIDES,
    UNITS,
    default_top,
    opposite,
    pose_facing,
)


def test_the_poses_are_the_24_rotations_of_the_cube():
    # Judge: scipy's octahedral rotation group.
    matrices = np.rint(Rotation.create_group("O").as_matrix()).astype(int)
    group = {tuple(matrix.ravel().tolist()) for matrix in matrices}
    ours = {tuple(matrix.ravel().tolist()) for matrix in POSE_MATRIX}
    assert ours == group


def test_right_is_front_cross_top_in_every_pose():
    for pose, (front, top) in enumerate(POSES):
        right = np.cross(UNITS[front], UNITS[top])
        assert (UNITS[POSE_FACES[pose, SIDES.index("right")]] == right).all()
        assert (POSE_MATRIX[pose] @ [1, 0, 0] == UNITS[front]).all()
        assert (POSE_MATRIX[pose] @ [0, 1, 0] == UNITS[top]).all()


def test_opposite_sides_look_along_opposite_faces():
    for pose in range(24):
        for side in range(6):
            assert POSE_FACES[pose, opposite(side)] == opposite(POSE_FACES[pose, side])


def test_someone_who_looks_north_has_east_on_the_right():
    pose = pose_facing(FACES.index("north"))
    assert FACES[POSE_FACES[pose, SIDES.index("right")]] == "east"


def test_every_front_implies_a_top_at_right_angles():
    assert all(POSE_OF[front, default_top(front)] >= 0 for front in range(6))
    assert [FACES[default_top(FACES.index(name))] for name in ("up", "down")] == ["south", "north"]
