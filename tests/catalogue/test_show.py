from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.base.block import parse_block_state
from analyzer.base.errors import UsageError
from analyzer.base.frame import AXES, FACES, SIDES
from analyzer.catalogue.catalogue import Field, Stored
from analyzer.catalogue.load import load_catalogue_text
from analyzer.catalogue.places import ShownMesh
from analyzer.catalogue.resolve import NotUnderstood
from analyzer.catalogue.show import Shown, show_block
from tests.catalogue.texts import FILE, HEAD, WHEEL, shaft

BOX = """
[parts."quayworks:box"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = 1, right = -1, left = 2.5, top = {property = "gear", values = {low = -3}}}
"""


def shown(text: str, state: str) -> Shown:
    result = show_block(parse_block_state(state), load_catalogue_text(HEAD + text, FILE))
    assert isinstance(result, Shown)
    return result


def test_ends_look_where_their_own_side_looks_in_the_world() -> None:
    # Looking west out of the front, north is at the right hand.
    found = shown(BOX, "quayworks:box[facing=west,gear=low]")
    assert (FACES[found.front], FACES[found.top], FACES[found.right]) == ("west", "up", "north")
    assert [(SIDES[end.side], FACES[end.face], end.factor) for end in found.ends] == [
        ("front", "west", 1),
        ("top", "up", -3),
        ("right", "north", -1),
        ("left", "south", Fraction(5, 2)),
    ]
    assert found.meshes == ()


def test_the_sign_says_whether_own_and_world_speeds_are_the_same() -> None:
    for facing, sign, axis in (("west", -1, "x"), ("south", 1, "z"), ("down", -1, "y")):
        found = shown(BOX, f"quayworks:box[facing={facing},gear=low]")
        assert (found.sign, AXES[found.axis]) == (sign, axis)


def test_numbers_are_those_of_the_state_and_stored_ones_stay_as_they_are_described() -> None:
    text = WHEEL.replace("torque = 32", 'torque = {stored = "Pull", scale = 2}')
    found = shown(text, "quayworks:wheel[facing=down]")
    assert found.number(Field.RATED_RPM) == 8
    assert found.number(Field.TORQUE) == Stored(("Pull",), Fraction(2))
    assert found.number(Field.TEETH) is None
    assert (found.source.title, found.type.role) == ("Quayworks boatyard", "mover")


def meshes(rim: str, axis: str) -> set[ShownMesh]:
    found = shown(shaft(rim=rim), f"quayworks:shaft[axis={axis}]").meshes
    assert len(set(found)) == len(found)
    return set(found)


def test_a_near_rim_meshes_across_its_axis_beside_near_and_diagonal_to_far_rims() -> None:
    found = meshes('{kind = "near", teeth = 12}', "y")
    assert {mesh.offset for mesh in found if mesh.placement == "beside"} == {
        (1, 0, 0),
        (-1, 0, 0),
        (0, 0, 1),
        (0, 0, -1),
    }
    assert {mesh.offset for mesh in found if mesh.placement == "diagonal"} == {
        (1, 0, 1),
        (1, 0, -1),
        (-1, 0, 1),
        (-1, 0, -1),
    }
    assert {(mesh.placement, mesh.partner, mesh.axis, mesh.sign) for mesh in found} == {
        ("beside", "near", 1, -1),
        ("diagonal", "far", 1, -1),
    }


def test_a_far_rim_meshes_diagonal_to_near_and_crossed_with_far_rims() -> None:
    found = meshes('{kind = "far", teeth = 24}', "x")
    crossed = {(one.offset, one.axis, one.sign) for one in found if one.placement == "crossed"}
    # One step a along the own axis x and one step b along the other rim's axis: sign a * b.
    assert crossed == {
        ((a, b, 0) if other == 1 else (a, 0, b), other, a * b)
        for a in (-1, 1)
        for b in (-1, 1)
        for other in (1, 2)
    }
    diagonal = [one for one in found if one.placement == "diagonal"]
    assert {(one.partner, one.axis, one.sign) for one in diagonal} == {("near", 0, -1)}
    assert {one.offset for one in diagonal} == {(0, a, b) for a in (-1, 1) for b in (-1, 1)}


def test_only_the_placements_that_a_rim_lists_are_shown() -> None:
    found = meshes('{kind = "far", teeth = 24, placements = ["diagonal"]}', "z")
    assert {one.placement for one in found} == {"diagonal"}


def test_a_state_without_a_needed_property_is_not_understood() -> None:
    catalogues = load_catalogue_text(HEAD + BOX, FILE)
    assert show_block(parse_block_state("quayworks:box"), catalogues) == NotUnderstood(
        "facing", "property facing is absent"
    )


def test_a_block_that_no_catalogue_has_is_refused_with_the_name_that_was_meant() -> None:
    with pytest.raises(UsageError, match=r'"quayworks:bocks"; did you mean "quayworks:box"\?'):
        shown(BOX, "quayworks:bocks")
