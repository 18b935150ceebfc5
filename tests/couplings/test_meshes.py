"""Rims at every place round a rim: which mesh, and which way, by rolling without slip."""

from __future__ import annotations

import itertools
from fractions import Fraction

import numpy as np
import pytest

from tests.couplings.test_joints import audited, couplings_of

RIM = """
[parts."sketch:{name}"]
role = "transmission"
entity = false
pose = {{axis = "axis"}}
rim = {{kind = "{kind}", teeth = {teeth}}}
"""
TYPES = [
    RIM.format(name="near", kind="near", teeth=12),
    RIM.format(name="far", kind="far", teeth=30),
]
TEETH = {"near": 12, "far": 30}
UNIT = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}
HERE = (24, 74, 24)
ROUND = [step for step in itertools.product((-1, 0, 1), repeat=3) if any(step)]


def ratio_of(one, axis, other, other_axis, step):
    """Return speed of the other per speed of the one, or None where they do not mesh.

    Bodies that roll on each other share the velocity of the point of contact (rolling contact,
    Encyclopaedia Britannica, 11th ed., vol. 17, "Mechanics"): here the pitch points as
    docs/mechanics.md gives them.
    """
    a, b, q = np.array(UNIT[axis]), np.array(UNIT[other_axis]), np.array(step)
    size = Fraction(TEETH[one], TEETH[other])
    if axis == other_axis:
        steps = int(np.abs(q).sum()) if not a @ q else 0
        meets = steps == (1 if one == other == "near" else 2 if one != other else 0)
        return -size if meets and steps else None
    if one == other == "far" and np.abs(q).sum() == 2 and a @ q and b @ q:
        contact = (b @ q) * b
        first, second = np.cross(a, contact), np.cross(b, contact - q)
        return size * int(first @ second)
    return None


@pytest.mark.parametrize(
    ("one", "other"), [("near", "near"), ("near", "far"), ("far", "near"), ("far", "far")]
)
@pytest.mark.parametrize("axis", ["x", "y", "z"])
@pytest.mark.parametrize("other_axis", ["x", "y", "z"])
def test_two_rims_mesh_at_the_places_of_theirs_and_turn_without_slip(
    tmp_path, one, axis, other, other_axis
):
    # The pairs stand five blocks apart, out of each other's reach.
    pairs = {}
    for number, step in enumerate(ROUND):
        first = tuple(np.add(HERE, (5 * (number % 6), 5 * (number // 6), 0)).tolist())
        pairs[first] = (tuple(np.add(first, step).tolist()), step)
    blocks = dict.fromkeys(pairs, f"sketch:{one}[axis={axis}]")
    blocks |= {second: f"sketch:{other}[axis={other_axis}]" for second, _ in pairs.values()}
    expected = {}
    for first, (second, step) in pairs.items():
        ratio = ratio_of(one, axis, other, other_axis, step)
        if ratio is not None:
            low, high = sorted((first, second))
            expected[low, high] = ratio if low == first else 1 / ratio
    found = {(a, b): ratio for a, b, ratio in couplings_of(audited(tmp_path, TYPES, blocks))}
    assert found == expected
