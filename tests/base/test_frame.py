"""Frames and poses, held against the rotation group of the cube."""

import numpy as np
from scipy.spatial.transform import Rotation

from analyzer.base.frame import (
    FACES,
    POSES,
    SIDES,
    default_top,
    opposite,
    pose_facing,
    pose_of,
    to_world,
)
from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX, UNIT_VECTORS


def test_the_poses_are_the_24_rotations_of_the_cube():
    # Judge: scipy's octahedral rotation group.
    matrices = np.rint(Rotation.create_group("O").as_matrix()).astype(int)
    group = {tuple(matrix.ravel().tolist()) for matrix in matrices}
    ours = {tuple(matrix.ravel().tolist()) for matrix in POSE_MATRIX}
    assert ours == group


def test_right_is_front_cross_top_in_every_pose():
    for pose, (front, top) in enumerate(POSES):
        right = np.cross(UNIT_VECTORS[front], UNIT_VECTORS[top])
        assert (UNIT_VECTORS[POSE_FACES[pose, SIDES.index("right")]] == right).all()
        assert (POSE_MATRIX[pose] @ [1, 0, 0] == UNIT_VECTORS[front]).all()
        assert (POSE_MATRIX[pose] @ [0, 1, 0] == UNIT_VECTORS[top]).all()


def test_one_vector_is_carried_as_many_are():
    for pose in range(len(POSES)):
        assert to_world(pose, (3, -5, 7)) == tuple(POSE_MATRIX[pose] @ [3, -5, 7])


def test_opposite_sides_look_along_opposite_faces():
    for pose in range(24):
        for side in range(6):
            assert POSE_FACES[pose, opposite(side)] == opposite(POSE_FACES[pose, side])


def test_someone_who_looks_north_has_east_on_the_right():
    pose = pose_facing(FACES.index("north"))
    assert FACES[POSE_FACES[pose, SIDES.index("right")]] == "east"


def test_every_front_implies_a_top_at_right_angles():
    assert all(pose_of(front, default_top(front)) >= 0 for front in range(6))
    assert [FACES[default_top(FACES.index(name))] for name in ("up", "down")] == ["south", "north"]
