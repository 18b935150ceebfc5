"""Spur and bevel gears with given contact points, as wheels and as boxes of bevels."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product

import pytest

from tests.outside.yard import (
    FACES,
    POSES,
    Item,
    Vector,
    add,
    cross,
    entry,
    spins,
    times,
    velocity,
)
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Contact: no slip at the pitch point"
DERIVED = Source(
    Evidence.COMPUTED,
    "derived from the one velocity of the contact (Dynamics, Multimedia Engineering, 05.5)",
    "ecoursesbook.com",
)


def _case(key: str, what: str, expected: str) -> Check:
    return Check(SUBJECT, key, what, expected, DERIVED)


G1 = _case(
    "G1",
    "external spur gears about z at (0, 0, 0) and (3, 0, 0), in contact at (1, 0, 0); 1200 rpm",
    "-600 rpm",
)
G2 = _case("G2", "bevels of one size about x and y, in contact at (1, 1, 0)", "-1")
G3 = _case("G3", "the same, in contact at (1, -1, 0)", "+1")
G4 = _case("G4", "bevels about x and y, in contact at (2, 1, 0)", "-1/2")
G5 = _case(
    "G5",
    "side gear at +x, pinion on y, side gear at -x, in contact at (1, 1, 0) and (-1, 1, 0)",
    "+1, -1, -1: the output runs against the input on the same axis",
)
F5 = Check(
    SUBJECT,
    "F5",
    "gear of 24 teeth turned by -0.050724 about its axis, in mesh with one of 72 teeth",
    "0.016908 about a parallel axis of the same sense",
    Source(
        Evidence.PUBLISHED,
        "MecMovies, M6.18, slides 62 and 63",
        "drbuc2jl8158i.cloudfront.net/shared/Engeneering/mecmovies/ch06/m06_18_s063.html",
    ),
)
BOXES = Check(
    SUBJECT,
    "G boxes",
    "boxes of four bevels, of one size and of two, in 24 poses, driven at either of two neighbours",
    "neighbours have one velocity where they touch; about outward normals outward meets inward",
    DERIVED,
)
RATED = 1200
EAST, UP, SOUTH = FACES["east"], FACES["up"], FACES["south"]
WEST, DOWN = FACES["west"], FACES["down"]


def _mover(name: str, *lines: str, rated: int | str = RATED) -> str:
    return entry(name, "mover", *lines, f"rated_rpm = {rated}", "torque = 1")


def _meets(at: Sequence[int], contact: Sequence[int] | None = None) -> str:
    cell = "" if contact is None else f", contact = {list(contact)}"
    return f'meets = [{{toothed = true, at = {list(at)}, types = ["quayworks:other"]{cell}}}]'


def _rim(teeth: int) -> str:
    return f'rim = {{kind = "far", teeth = {teeth}}}'


@checked(G1)
def test_spur_gears_of_one_and_two() -> None:
    # Own steps are front, top and right: for a front to the south and a top up, right is west.
    types = _mover("one", _rim(12), _meets((0, 0, -3)))
    types += entry("other", "transmission", _rim(24))
    pair = (Item("one", (0, 0, 0), SOUTH, UP), Item("other", (3, 0, 0), SOUTH))
    ((spin, turned),) = spins(types, [pair])
    assert (spin, turned) == ((0, 0, RATED), (0, 0, -600))
    contact = (1, 0, 0)
    assert velocity(spin, (0, 0, 0), contact) == velocity(turned, (3, 0, 0), contact)


@checked(F5)
def test_the_partner_of_a_gear_that_turns_negative_turns_positive() -> None:
    types = _mover("one", 'rim = {kind = "near", teeth = 24}', rated="-0.050724")
    types += entry("other", "transmission", 'rim = {kind = "near", teeth = 72}')
    ((spin, turned),) = spins(types, [(Item("one", (0, 0, 0), EAST), Item("other", UP, EAST))])
    assert spin == (Fraction("-0.050724"), 0, 0)
    assert turned == (Fraction("0.016908"), 0, 0)


WHEEL = _mover("one", _rim(24)) + entry("other", "transmission", _rim(24))
#: What joins a pair of shafts: a box at the apex whose ends turn so about their outward normals.
BOX = (
    _mover("one", "ends = {back = -1}")
    + entry("box", "transmission", "ends = {front = 1, back = 1, top = -1, bottom = -1}")
    + entry("other", "transmission", "ends = {front = 1, back = -1}")
)


@pytest.mark.parametrize(
    ("below", "ratio"),
    [pytest.param(False, -1, marks=checked(G2)), pytest.param(True, 1, marks=checked(G3))],
)
@pytest.mark.parametrize("types", [WHEEL, BOX])
def test_bevels_of_one_size_turn_as_the_quadrant_of_their_contact_says(
    types: str, below: bool, ratio: int
) -> None:
    side: Vector = DOWN if below else UP
    build = [Item("one", EAST, EAST, UP), Item("other", side, UP)]
    build += [Item("box", (0, 0, 0), EAST, UP)] if types == BOX else []
    ((spin, turned, *_),) = spins(types, [build])
    assert spin == (RATED, 0, 0)
    assert turned == (0, ratio * RATED, 0)
    contact = add(EAST, side)
    assert velocity(spin, EAST, contact) == velocity(turned, side, contact)


@checked(G4)
def test_a_bevel_of_twice_the_size_turns_half_as_fast() -> None:
    # The wheel about x stands at (2, 0, 0) and touches one block above, the other is at (0, 1, 0).
    types = _mover("one", _rim(12), _meets((-2, 1, 0), (0, 1, 0)))
    types += entry("other", "transmission", _rim(24))
    pair = (Item("one", (2, 0, 0), EAST, UP), Item("other", (0, 1, 0), UP))
    ((spin, turned),) = spins(types, [pair])
    assert (spin, turned) == ((RATED, 0, 0), (0, -600, 0))
    contact = (2, 1, 0)
    assert velocity(spin, (2, 0, 0), contact) == velocity(turned, (0, 1, 0), contact)


@checked(G4)
def test_a_box_with_a_bevel_of_twice_the_size_turns_half_as_fast() -> None:
    types = BOX.replace("top = -1", "top = -0.5")
    build = (Item("one", EAST, EAST, UP), Item("box", (0, 0, 0), EAST, UP), Item("other", UP, UP))
    ((spin, _, turned),) = spins(types, [build])
    assert (spin, turned) == ((RATED, 0, 0), (0, -600, 0))


@checked(G5)
@pytest.mark.parametrize("types", [WHEEL, BOX])
def test_a_side_gear_across_a_pinion_turns_the_other_way(types: str) -> None:
    build = [Item("one", EAST, EAST, UP), Item("other", UP, UP), Item("other", WEST, EAST)]
    build += [Item("box", (0, 0, 0), EAST, UP)] if types == BOX else []
    ((spin, pinion, across, *_),) = spins(types, [build])
    assert spin == (RATED, 0, 0)
    assert pinion == (0, -RATED, 0)
    assert across == (-RATED, 0, 0)
    for side, turned in ((EAST, spin), (WEST, across)):
        assert velocity(turned, side, add(side, UP)) == velocity(pinion, UP, add(side, UP))


@checked(BOXES)
@pytest.mark.parametrize("driven", ["front", "top"])
@pytest.mark.parametrize("size", [1, 2])
def test_neighbours_in_a_box_of_bevels_do_not_slip(driven: str, size: int) -> None:
    """Front and back wheels have radius 1, those on top and bottom the given one."""
    slow = Fraction(-1, size)
    types = BOX.replace("top = -1, bottom = -1", f"top = {float(slow)}, bottom = {float(slow)}")
    builds = []
    for pose in POSES:
        front, top = (FACES[name] for name in pose)
        first = front if driven == "front" else top
        faces = [first, *(f for f in (front, times(-1, front), top, times(-1, top)) if f != first)]
        box = Item("box", (0, 0, 0), front, top)
        builds.append([box, *(Item("other" if n else "one", f, f) for n, f in enumerate(faces))])
    for (box, *wheels), (_, *turning) in zip(builds, spins(types, builds), strict=True):
        outward = {wheel.at: spin for wheel, spin in zip(wheels, turning, strict=True)}
        front, top = box.front, box.top
        assert top is not None
        assert outward[wheels[0].at] == times(RATED, wheels[0].at)
        for a, b in product((front, times(-1, front)), (top, times(-1, top))):
            contact = add(times(size, a), b)
            assert velocity(outward[a], (0, 0, 0), contact) == velocity(
                outward[b], (0, 0, 0), contact
            )
            assert any(velocity(outward[a], (0, 0, 0), contact))
            assert outward[b] == times(slow * _turn(outward[a], a), b)


def _turn(spin: Vector, about: Vector) -> Fraction:
    """Return how fast a spin is about a unit vector along it."""
    assert cross(spin, about) == (0, 0, 0)
    return Fraction(sum(a * b for a, b in zip(spin, about, strict=True)))
