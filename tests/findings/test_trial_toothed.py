"""Trials of toothed contacts: offsets and rims that are missing, contact cells that are wrong."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.catalogue.catalogue import Meeting, Rim
from analyzer.findings.trial.trial import Entry
from tests.findings.test_trial import copies, entries, tried
from tests.findings.trial_worlds import one, part_type

HUB, COG = "sketch:hub", "sketch:cog"


def crown(name, teeth, **more):
    """A gear whose only placement of its own is at a right angle."""
    return part_type(name, ends=(), rim=Rim("far", one(teeth), frozenset({"crossed"})), **more)


def hub(*meets: Meeting):
    return crown("hub", 24, role="mover", rated_rpm=one(8), torque=one(8), meets=meets)


def pairs(axis, at, rpm):
    """A hub of 24 teeth about x at 8 rpm and, at a step from it, what turns about an axis."""
    return copies(20, ("hub[axis=x]", (0, 0, 0), 8), (f"cog[axis={axis}]", at, rpm))


@pytest.mark.parametrize("rpm", [-16, 16, -12, 3])
@pytest.mark.parametrize("at", [(0, 2, 0), (1, 1, 0), (0, 1, 1), (0, 1, 0)])
def test_a_missing_offset_of_parallel_axes_is_named_with_its_ratio(at, rpm):
    back = (-at[0], -at[1], -at[2])
    ratio = Fraction(rpm, 8)
    assert entries(tried([hub(), crown("cog", 12)], pairs("x", at, rpm))) == [
        (
            Entry(COG, "no-offset", other=HUB, at=back, fits=1 / ratio),
            Entry(HUB, "no-offset", other=COG, at=at, fits=ratio),
        )
    ]


@pytest.mark.parametrize("rpm", [16, -16])
@pytest.mark.parametrize(
    ("axis", "at", "back"),
    # From the cog's own frame (axis y: front y, top z, right x; axis z: front z, top y, right -x).
    [("y", (1, 2, 0), (-2, 0, -1)), ("z", (1, 0, 2), (-2, 0, 1))],
)
def test_a_missing_toothed_offset_at_a_right_angle_is_named_where_the_teeth_fit(
    axis, at, back, rpm
):
    # 24 teeth at 8 rpm turn 12 teeth at 16 rpm; which way rests on the contact, which is unknown.
    types = [hub(), crown("cog", 12)]
    assert entries(tried(types, pairs(axis, at, rpm))) == [
        (
            Entry(COG, "no-offset", other=HUB, at=back),
            Entry(HUB, "no-offset", other=COG, at=at),
        )
    ]
    assert entries(tried(types, pairs(axis, at, Fraction(rpm * 3, 4)))) == []


def test_a_missing_far_rim_at_a_right_angle_is_named_with_its_teeth():
    plain = part_type("cog", ends=())
    assert entries(tried([hub(), plain], pairs("y", (1, 1, 0), 16))) == [
        (Entry(COG, "no-rim", "far", fits=Fraction(12)),)
    ]


@pytest.mark.parametrize(("at", "sense"), [((1, 2, 0), 1), ((-1, 2, 0), -1)])
def test_a_contact_on_the_wrong_side_is_named_with_its_offset(at, sense):
    # Contact at (0, 2, 0): x × (0, 2, 0) = (0, 0, 2), and seen from the cog it lies at -at[0] along
    # x: y × (-1, 0, 0) = (0, 0, 1), so that both turn the same way where the cog stands at +1.
    types = [hub(Meeting(at, (COG,), None, (0, 2, 0))), crown("cog", 12)]
    right = tried(types, pairs("y", at, 16 * sense))
    assert (right.pairs, right.agreed, right.suspects) == (20, 20, ())
    wrong = tried(types, pairs("y", at, -16 * sense))
    assert (wrong.agreed, entries(wrong)) == (0, [(Entry(HUB, "contact", at=at),)])


def test_a_contact_listed_by_the_part_that_comes_later_is_named_too():
    types = [hub(Meeting((-1, -2, 0), (COG,), None, (0, -2, 0))), crown("cog", 12)]
    right = tried(types, pairs("y", (-1, -2, 0), 16))
    assert (right.agreed, right.suspects) == (20, ())
    wrong = tried(types, pairs("y", (-1, -2, 0), -16))
    assert entries(wrong) == [(Entry(HUB, "contact", at=(-1, -2, 0)),)]
