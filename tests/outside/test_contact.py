"""Wheels in contact do not slip: both have one velocity at the pitch point.

For every placement of rims, in every direction and with every sense of the two fronts, and for
toothed offsets of a type's own in all 24 poses: the speeds that the tool finds are put in as
vectors, ω₁ × (c - o₁) = ω₂ × (c - o₂).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import permutations, product

import pytest

from tests.outside.yard import (
    FACES,
    POSES,
    Item,
    Vector,
    add,
    cross,
    dot,
    entry,
    minus,
    spins,
    times,
    velocity,
)
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Contact: no slip at the pitch point"
NO_SLIP = Source(
    Evidence.PUBLISHED,
    "v = ω × r, and touching bodies share the velocity of the contact: Dynamics, Multimedia"
    " Engineering, 05.5; contacting points have one velocity: Mechanics reference, Contact and"
    " rolling",
    "ecoursesbook.com; mechref.org/dyn/contact_and_rolling",
)
CONES = Source(
    Evidence.PUBLISHED,
    "Mechanics, in Encyclopaedia Britannica, 11th ed., vol. 17: speeds inversely as the distances"
    " of the contact from the axes; intersecting axes give cones with a common apex",
    "bitlit.ru/page/en/various/"
    "encyclopaedia-britannica-11th-edition-matter-to-mecklenburg-volume-17-slice-8/262",
)
PARALLEL = Check(
    SUBJECT,
    "F2",
    "rims beside and diagonal to each other, along every axis, to every side, with fronts either"
    " way; parallel wheels in mesh by an offset of their own, in 24 poses",
    "both rims have one velocity where the line of centres is divided as the teeth",
    NO_SLIP,
)
CROSSED = Check(
    SUBJECT,
    "F3",
    "crossed rims in all 24 positions, with fronts either way; wheels on axes that meet at a right"
    " angle, in mesh by an offset of their own with a stated contact cell, in 24 poses",
    "both rims have one velocity at the contact, and speeds are inverse to its distances from the"
    " axes",
    CONES,
)
RATED = 60
TEETH = {"near_12": 12, "near_20": 20, "far_24": 24, "far_36": 36}


def _wheel(name: str, meets: str = "") -> str:
    """Return the entries of a wheel and of a mover with the same rim."""
    kind, teeth = name.split("_")
    rim = (f'rim = {{kind = "{kind}", teeth = {teeth}}}', meets)
    return entry(name, "transmission", *rim) + entry(
        f"driven_{name}", "mover", *rim, f"rated_rpm = {RATED}", "torque = 1"
    )


def _senses(axis: Vector) -> tuple[Vector, Vector]:
    return axis, times(-1, axis)


AXES = [FACES[name] for name in ("east", "up", "south")]


def _assert_no_slip(
    pair: Sequence[Item],
    found: Sequence[Vector | None],
    contact: Vector,
    teeth: tuple[int, int],
) -> None:
    (one, other), (spin, turned) = pair, found
    assert spin == times(RATED, one.front)
    assert turned is not None
    moving = velocity(spin, one.at, contact)
    assert any(moving)
    assert moving == velocity(turned, other.at, contact)
    assert dot(turned, turned) == Fraction(teeth[0], teeth[1]) ** 2 * dot(spin, spin)


def _parallel_contact(one: Item, other: Item, teeth: tuple[int, int]) -> Vector:
    """Divide the line of centres, across the axes, as the teeth do."""
    apart = minus(other.at, one.at)
    across = minus(apart, times(dot(apart, one.front), one.front))
    return add(one.at, times(Fraction(teeth[0], sum(teeth)), across))


@checked(PARALLEL)
@pytest.mark.parametrize(
    ("one", "other", "diagonal"),
    [
        ("near_12", "near_12", False),
        ("near_12", "near_20", False),
        ("near_20", "far_36", True),
        ("far_24", "near_12", True),
    ],
)
def test_rims_beside_or_diagonal_to_each_other_do_not_slip(
    one: str, other: str, diagonal: bool
) -> None:
    pairs = []
    for axis in AXES:
        p, q = (face for face in AXES if face != axis)
        straight = [times(sign, face) for face in (p, q) for sign in (1, -1)]
        slanting = [add(times(a, p), times(b, q)) for a, b in product((1, -1), repeat=2)]
        pairs += [
            (Item(f"driven_{one}", (0, 0, 0), front), Item(other, at, back))
            for at in (slanting if diagonal else straight)
            for front, back in product(_senses(axis), repeat=2)
        ]
    assert len(pairs) == 48
    teeth = (TEETH[one], TEETH[other])
    found = spins("".join(map(_wheel, sorted({one, other}))), pairs)
    for pair, turning in zip(pairs, found, strict=True):
        _assert_no_slip(pair, turning, _parallel_contact(*pair, teeth), teeth)


def _conical_contact(one: Item, other: Item, teeth: tuple[int, int]) -> Vector:
    """Go from where the axes meet towards either wheel, as far as the other one has teeth.

    Towards the second wheel that is one block.
    """
    apart = minus(other.at, one.at)
    along = dot(apart, one.front)
    apex = add(one.at, times(along, one.front))
    back = times(Fraction(-along, abs(along)), one.front)
    towards = minus(other.at, apex)
    assert cross(towards, other.front) == (0, 0, 0)
    return add(apex, times(Fraction(teeth[1], teeth[0]), back), towards)


@checked(CROSSED)
@pytest.mark.parametrize(("one", "other"), [("far_24", "far_24"), ("far_24", "far_36")])
def test_crossed_rims_do_not_slip(one: str, other: str) -> None:
    pairs, cells = [], []
    for a, b in permutations(AXES, 2):
        for alpha, beta in product((1, -1), repeat=2):
            at = add(times(alpha, a), times(beta, b))
            for front, back in product(_senses(a), _senses(b)):
                pairs.append((Item(f"driven_{one}", (0, 0, 0), front), Item(other, at, back)))
                cells.append(times(beta, b))
    assert len(pairs) == 24 * 4
    teeth = (TEETH[one], TEETH[other])
    found = spins("".join(map(_wheel, sorted({one, other}))), pairs)
    for pair, turning, cell in zip(pairs, found, cells, strict=True):
        contact = _conical_contact(*pair, teeth)
        # Equal wheels touch in the cell beyond the first one's rim, towards the second.
        assert one != other or contact == cell
        _assert_no_slip(pair, turning, contact, teeth)


def _in_world(pose: tuple[str, str], steps: Vector) -> Vector:
    """Return steps along own front, top and right; the right is front × top."""
    front, top = (FACES[name] for name in pose)
    return add(
        *(times(n, way) for n, way in zip(steps, (front, top, cross(front, top)), strict=True))
    )


def _meeting(at: Vector, other: str, contact: Vector | None = None) -> str:
    cell = "" if contact is None else f", contact = {list(contact)}"
    return f'meets = [{{toothed = true, at = {list(at)}, types = ["quayworks:{other}"]{cell}}}]'


@checked(PARALLEL)
@pytest.mark.parametrize("at", [(0, 2, 1), (0, 0, -3), (1, -2, 0), (-1, 1, 2)])
def test_parallel_wheels_in_mesh_by_an_own_offset_do_not_slip(at: Vector) -> None:
    one, other = "near_12", "far_36"
    pairs = [
        (
            Item(f"driven_{one}", (0, 0, 0), FACES[pose[0]], FACES[pose[1]]),
            Item(other, _in_world(pose, at), back),
        )
        for pose in POSES
        for back in _senses(FACES[pose[0]])
    ]
    teeth = (TEETH[one], TEETH[other])
    found = spins(_wheel(one, _meeting(at, other)) + _wheel(other), pairs)
    for pair, turning in zip(pairs, found, strict=True):
        _assert_no_slip(pair, turning, _parallel_contact(*pair, teeth), teeth)


@checked(CROSSED)
@pytest.mark.parametrize(
    ("at", "contact", "teeth"),
    [
        # Distances of the contact from the lister's axis and from the other's are as the teeth.
        ((1, 1, 0), (0, 1, 0), (12, 12)),
        ((-2, 1, 0), (0, 1, 0), (12, 24)),
        ((3, 0, -1), (0, 0, -2), (24, 36)),
        ((1, 0, 2), (3, 0, 1), (12, 24)),
    ],
)
def test_wheels_on_crossing_axes_in_mesh_by_an_own_offset_do_not_slip(
    at: Vector, contact: Vector, teeth: tuple[int, int]
) -> None:
    one, other = f"near_{teeth[0]}", f"far_{teeth[1]}"
    pairs = [
        (
            Item(f"driven_{one}", (0, 0, 0), FACES[pose[0]], FACES[pose[1]]),
            Item(other, _in_world(pose, at), back),
        )
        for pose in POSES
        # The other's axis lies in the plane of the offset, across the lister's.
        for back in _senses(_in_world(pose, (0, *(abs(n) // max(1, abs(n)) for n in at[1:]))))
    ]
    found = spins(_wheel(one, _meeting(at, other, contact)) + _wheel(other), pairs)
    cells = [_in_world(pose, contact) for pose in POSES for _ in range(2)]
    for pair, turning, cell in zip(pairs, found, cells, strict=True):
        _assert_no_slip(pair, turning, cell, teeth)
