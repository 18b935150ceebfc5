"""Rims turn each other where they meet, and nowhere else."""

from __future__ import annotations

from itertools import product

import pytest

from tests.outside.yard import FACES, Item, Vector, entry, spins
from tests.support.check import Check, Evidence, Source, checked

MEETING = Check(
    "Contact: no slip at the pitch point",
    "PLACES",
    "two rims in all 124 places within two blocks of each other, their axes parallel or across,"
    " near and far",
    "one turns the other in the 4 places beside, the 4 diagonal and the 8 crossed ones; elsewhere"
    " it stands still",
    Source(Evidence.COMMON, "wheels that do not touch do not turn each other"),
    why="exact numbers on both sides; which places count as touching is a convention of this"
    " project",
)
#: Places of the other rim by the kinds of the two and the other's axis; the first one's is x.
BESIDE = {(0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)}
DIAGONAL = {(0, 1, 1), (0, 1, -1), (0, -1, 1), (0, -1, -1)}
MEET: dict[tuple[str, str, str], set[Vector]] = {
    ("near", "near", "east"): BESIDE,
    ("near", "far", "east"): DIAGONAL,
    ("far", "near", "east"): DIAGONAL,
    ("far", "far", "up"): {(1, 1, 0), (1, -1, 0), (-1, 1, 0), (-1, -1, 0)},
    ("far", "far", "south"): {(1, 0, 1), (1, 0, -1), (-1, 0, 1), (-1, 0, -1)},
}


@checked(MEETING)
@pytest.mark.parametrize("one", ["near", "far"])
@pytest.mark.parametrize("other", ["near", "far"])
def test_rims_turn_each_other_just_where_they_meet(one: str, other: str) -> None:
    types = entry("one", "mover", _rim(one), "rated_rpm = 60", "torque = 1")
    types += entry("other", "transmission", _rim(other))
    places = [at for at in product(range(-2, 3), repeat=3) if any(at)]
    cases = list(product(("east", "up", "south"), places))
    builds = [
        (Item("one", (0, 0, 0), FACES["east"]), Item("other", at, FACES[axis]))
        for axis, at in cases
    ]
    turned = {axis: set() for axis in ("east", "up", "south")}
    for (axis, at), (spin, driven) in zip(cases, spins(types, builds), strict=True):
        assert spin == (60, 0, 0)
        if driven is not None:
            turned[axis].add(at)
    assert turned == {axis: MEET.get((one, other, axis), set()) for axis in turned}


def _rim(kind: str) -> str:
    return f'rim = {{kind = "{kind}", teeth = 24}}'
