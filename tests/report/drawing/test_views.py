"""Which way arrows point on the paper, held against turning a point about an axis."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest

from analyzer.report.drawing.views import VIEWS, View, surface_arrow, turns_counterclockwise

UNITS = np.eye(3)


def on_paper(view: View, vector: np.ndarray) -> tuple[float, float]:
    """Return a direction of the world as it lies on the paper: to the right, down."""
    (right, r), (down, d) = view.right, view.down
    return float(vector[right] * r), float(vector[down] * d)


def turned(axis: int, speed: int, point: np.ndarray) -> np.ndarray:
    """Return where a small turn by the right-hand rule moves a point to, less where it was."""
    angle = speed * 1e-3
    # Rodrigues' formula.
    along = UNITS[axis] * point[axis]
    cross = np.cross(UNITS[axis], point)
    moved = along + (point - along) * math.cos(angle) + cross * math.sin(angle)
    return moved - point


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.seen)
def test_right_up_and_towards_are_a_right_handed_frame(view: View) -> None:
    right = UNITS[view.right[0]] * view.right[1]
    up = -UNITS[view.down[0]] * view.down[1]
    assert np.cross(right, up).tolist() == (UNITS[view.towards[0]] * view.towards[1]).tolist()


@pytest.mark.parametrize(
    ("view", "axis", "speed"), list(product(VIEWS, range(3), (-1, 0, 1))), ids=str
)
def test_arrows_point_the_way_the_near_side_moves(view: View, axis: int, speed: int) -> None:
    near = UNITS[view.towards[0]] * view.towards[1]
    x, y = on_paper(view, turned(axis, speed, near))
    if axis == view.towards[0]:
        assert surface_arrow(view, axis, speed) == (0, 0)
        return
    expected = (round(x * 1e3), round(y * 1e3))
    assert surface_arrow(view, axis, speed) == expected


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.seen)
@pytest.mark.parametrize("speed", [-1, 1])
def test_what_faces_whoever_looks_turns_the_way_it_is_drawn(view: View, speed: int) -> None:
    right = UNITS[view.right[0]] * view.right[1]
    # The right end of a disc goes up the paper where it turns counterclockwise.
    _, down = on_paper(view, turned(view.towards[0], speed, right))
    assert turns_counterclockwise(view, speed) == (down < 0)
