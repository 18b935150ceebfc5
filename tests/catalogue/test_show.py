from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.base.block import parse_block_state
from analyzer.base.errors import UsageError
from analyzer.base.frame import AXES, FACES, SIDES
from analyzer.catalogue.catalogue import Field, Port, Stored
from analyzer.catalogue.load import load_catalogue_text
from analyzer.catalogue.places import ShownMeeting, ShownMesh
from analyzer.catalogue.resolve import NotAPart, NotUnderstood
from analyzer.catalogue.show import Shown, ShownPort, show_block
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


TALL = """
[parts."quayworks:tall"]
role = "transmission"
entity = false
only = {half = ["lower"]}
pose = {facing = "facing"}
ends = {front = {factor = 1, cell = [0, 1, 0]}, right = {factor = -2, cell = [2, 1, -1]}, top = 1}
rim = {kind = "near", teeth = 12, placements = ["beside"], cell = [3, 1, 0]}
link = {crossed = true}
[parts."quayworks:tall".switch]
kind = "clutch"
opens = ["right", "rim", "link"]
on = {property = "on", values = {y = 1}}
"""


def test_cells_are_turned_with_the_part() -> None:
    # Facing west the front is -x, the top +y and the right -z.
    found = shown(TALL, "quayworks:tall[facing=west,half=lower,on=y]")
    assert [(SIDES[end.side], end.cell) for end in found.ends] == [
        ("front", (0, 1, 0)),
        ("top", (0, 0, 0)),
        ("right", (-2, 1, 1)),
    ]
    assert found.rim_cell == (-3, 1, 0)
    assert {mesh.offset for mesh in found.meshes} == {
        (-3, 2, 0),
        (-3, 0, 0),
        (-3, 1, 1),
        (-3, 1, -1),
    }


def test_switched_ports_have_the_world_face_of_their_end() -> None:
    found = shown(TALL, "quayworks:tall[facing=west,half=lower,on=y]")
    assert found.switched == (
        ShownPort(Port.RIGHT, FACES.index("north")),
        ShownPort(Port.RIM, None),
        ShownPort(Port.LINK, None),
    )
    assert found.governed is None
    assert found.number(Field.SWITCH) == 1
    assert found.number(Field.DIAMETER) == 1
    assert found.type.link is not None
    assert found.type.link.crossed


def test_a_governed_port_is_shown_with_its_face_and_the_set_speed_about_the_front() -> None:
    body = shaft(governor='{port = "back", set_rpm = -4, sense = "own"}', pose='{facing = "look"}')
    found = shown(body, "quayworks:shaft[look=down]")
    assert found.governed == ShownPort(Port.BACK, FACES.index("up"))
    assert found.number(Field.SET_RPM) == -4
    assert (found.rim_cell, found.switched, found.meetings) == (None, (), ())


def test_a_state_that_is_left_out_is_no_part() -> None:
    catalogues = load_catalogue_text(HEAD + TALL, FILE)
    state = parse_block_state("quayworks:tall[facing=west,half=upper,on=y]")
    assert show_block(state, catalogues) == NotAPart(
        "half", "property half has the value upper, none of lower"
    )


COG = """
[parts."quayworks:cog"]
role = "transmission"
entity = false
pose = {facing = "facing"}
rim = {kind = "far", teeth = 24}
meets = [
  {at = [1, 0, 2], types = ["quayworks:cog"], ratio = [-2, 3]},
  {toothed = true, at = [0, 2, 0], types = ["quayworks:cog"]},
  {toothed = true, at = [1, 2, 0], types = ["quayworks:cog"], contact = [0, 2, 0]},
]
"""


def test_own_offsets_are_turned_with_the_part_and_say_how_the_other_turns() -> None:
    cog = ("quayworks:cog",)
    catalogues = COG.replace("ratio = [-2, 3]", "ratio = -1").replace("[1, 0, 2]", "[0, 0, 2]")
    # Facing north the front is -z, the top +y and the right +x.
    assert shown(catalogues, "quayworks:cog[facing=north]").meetings == (
        ShownMeeting(cog, (2, 0, 0), 2, -1, Fraction(1), None),
        ShownMeeting(cog, (0, 2, 0), 2, -1, None, None),
        # From below, its rim moves along z x y = -x where the other's along y x z = +x does.
        ShownMeeting(cog, (0, 2, -1), 1, -1, None, (0, 2, 0)),
    )
    # Facing east the front is +x: the other stands over the front, and y x -x = z is x x y.
    assert shown(catalogues, "quayworks:cog[facing=east]").meetings[2] == ShownMeeting(
        cog, (1, 2, 0), 1, 1, None, (0, 2, 0)
    )


def test_a_stated_ratio_is_shown_by_sign_and_magnitude() -> None:
    text = COG.replace('types = ["quayworks:cog"], ratio', 'types = ["quayworks:shaft"], ratio')
    (found, *_) = shown(text + shaft(), "quayworks:cog[facing=up]").meetings
    # Facing up the top is south and the right east.
    assert found == ShownMeeting(("quayworks:shaft",), (2, 1, 0), 1, -1, Fraction(2, 3), None)
