from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from analyzer.base.block import BlockState, parse_block_state
from analyzer.base.frame import FACES, SIDES
from analyzer.base.frame_tables import POSE_FACES, POSE_MATRIX
from analyzer.catalogue.catalogue import Field, Stored
from analyzer.catalogue.resolve import NotAPart, NotUnderstood, Resolved, resolve_state
from tests.catalogue.texts import WHEEL, shaft, type_of

Vector = tuple[int, int, int]
#: The host game's directions, written out here once more: +x east, +y up, +z south.
WORLD: dict[str, Vector] = {
    "east": (1, 0, 0),
    "west": (-1, 0, 0),
    "up": (0, 1, 0),
    "down": (0, -1, 0),
    "south": (0, 0, 1),
    "north": (0, 0, -1),
}
NAMES = {vector: name for name, vector in WORLD.items()}


def cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def back_of(face: str) -> str:
    x, y, z = WORLD[face]
    return NAMES[(-x, -y, -z)]


def frame(pose: str, state: str = "") -> tuple[str, str, str]:
    """Return front, top and right of a state of a shaft with that pose rule."""
    resolved = resolve_state(
        type_of(shaft(pose=pose)), parse_block_state(f"quayworks:shaft{state}")
    )
    assert isinstance(resolved, Resolved)
    faces = [FACES[face] for face in POSE_FACES[resolved.pose].tolist()]
    own = dict(zip(SIDES, faces, strict=True))
    for side, other in (("front", "back"), ("top", "bottom"), ("right", "left")):
        assert own[other] == back_of(own[side])
    matrix = POSE_MATRIX[resolved.pose]
    assert [tuple(matrix[:, own_axis].tolist()) for own_axis in range(3)] == [
        WORLD[own[side]] for side in ("front", "top", "right")
    ]
    return own["front"], own["top"], own["right"]


def not_understood(pose: str, state: str = "") -> NotUnderstood:
    result = resolve_state(type_of(shaft(pose=pose)), parse_block_state(f"quayworks:shaft{state}"))
    assert isinstance(result, NotUnderstood)
    return result


@pytest.mark.parametrize("face", ["north", "south", "east", "west"])
def test_facing_a_horizontal_direction_keeps_the_top_up(face: str) -> None:
    right = NAMES[cross(WORLD[face], WORLD["up"])]
    assert frame('{facing = "look"}', f"[look={face}]") == (face, "up", right)
    assert frame(f'{{front = "{face}"}}') == (face, "up", right)


def test_someone_who_looks_north_has_east_at_the_right() -> None:
    assert frame('{facing = "look"}', "[look=north]") == ("north", "up", "east")


def test_facing_up_has_its_top_south_and_facing_down_north() -> None:
    assert frame('{facing = "look"}', "[look=up]") == ("up", "south", "east")
    assert frame('{facing = "look"}', "[look=down]") == ("down", "north", "east")


def test_an_axis_has_its_front_at_the_positive_end() -> None:
    assert frame('{axis = "lie"}', "[lie=x]") == ("east", "up", "south")
    assert frame('{axis = "lie"}', "[lie=y]") == ("up", "south", "east")
    assert frame('{axis = "lie"}', "[lie=z]") == ("south", "up", "west")


def test_each_of_the_24_fixed_poses_has_its_right_at_front_cross_top() -> None:
    seen = set()
    for front, top in product(WORLD, repeat=2):
        if front not in (top, back_of(top)):
            expected = (front, top, NAMES[cross(WORLD[front], WORLD[top])])
            assert frame(f'{{front = "{front}", top = "{top}"}}') == expected
            seen.add(expected)
    assert len(seen) == 24


CASES = """{cases = [
  {when = {mount = "wall", look = "up"}, front = "up", top = "east"},
  {when = {mount = "wall"}, front = "north"},
  {when = {look = "up"}, front = "down", top = "west"},
]}"""


def test_the_first_case_that_holds_gives_the_pose() -> None:
    assert frame(CASES, "[look=up,mount=wall]")[:2] == ("up", "east")
    assert frame(CASES, "[look=down,mount=wall]")[:2] == ("north", "up")
    assert frame(CASES, "[look=up,mount=floor]")[:2] == ("down", "west")


def test_a_case_holds_where_its_own_properties_do_whatever_else_there_is() -> None:
    assert frame(CASES, "[look=up]")[:2] == ("down", "west")
    assert frame(CASES, "[age=3,look=up,mount=floor,wet=true]")[:2] == ("down", "west")


def test_a_state_for_which_no_case_holds_is_not_understood() -> None:
    assert not_understood(CASES, "[look=down,mount=floor]") == NotUnderstood(
        "look", "no case holds for look=down, mount=floor"
    )
    assert not_understood(CASES, "[look=down]") == NotUnderstood(
        "mount", "property mount is absent"
    )


def test_a_property_that_is_absent_is_not_understood() -> None:
    for pose in ('{axis = "lie"}', '{facing = "lie"}'):
        assert not_understood(pose, "[lies=x]") == NotUnderstood("lie", "property lie is absent")


def test_a_value_that_is_no_axis_or_face_is_not_understood() -> None:
    assert not_understood('{axis = "lie"}', "[lie=east]") == NotUnderstood(
        "lie", "property lie has the value east, none of x, y, z"
    )
    assert not_understood('{facing = "lie"}', "[lie=x]").property == "lie"


def wheel(**numbers: str) -> Resolved | NotUnderstood:
    text = WHEEL
    for key, value in numbers.items():
        text = "\n".join(line for line in text.splitlines() if not line.startswith(key))
        text += f"\n{key} = {value}\n"
    state = BlockState("quayworks:wheel", (("facing", "west"), ("lit", "true")))
    return resolve_state(type_of(text), state)


def test_a_constant_is_what_it_is_and_a_rated_speed_stays_about_the_front() -> None:
    resolved = wheel()
    assert isinstance(resolved, Resolved)
    assert dict(resolved.numbers) == {Field.END_0: 1, Field.RATED_RPM: 8, Field.TORQUE: 32}


def test_a_number_by_property_is_that_of_the_value() -> None:
    resolved = wheel(torque='{property = "lit", values = {true = 2.5, false = 0}}')
    assert isinstance(resolved, Resolved)
    assert dict(resolved.numbers)[Field.TORQUE] == Fraction(5, 2)


def test_a_stored_number_stays_to_be_read() -> None:
    resolved = wheel(torque='{stored = "Pull"}')
    assert isinstance(resolved, Resolved)
    assert dict(resolved.numbers)[Field.TORQUE] == Stored(("Pull",))


def test_a_number_by_a_property_that_is_absent_or_unknown_is_never_defaulted() -> None:
    assert wheel(torque='{property = "damp", values = {true = 1}}') == NotUnderstood(
        "damp", "property damp is absent"
    )
    assert wheel(active='{property = "lit", values = {yes = 1, no = 0}}') == NotUnderstood(
        "lit", "property lit has the value true, none of no, yes"
    )
    assert isinstance(
        wheel(rim='{kind = "near", teeth = {property = "size", values = {s = 8}}}'), NotUnderstood
    )


ONLY = '{half = ["lower", "single"], kind = ["oak"]}'


def half(properties: str, pose: str = '{front = "up"}') -> Resolved | NotUnderstood | NotAPart:
    type_ = type_of(shaft(only=ONLY, pose=pose))
    return resolve_state(type_, parse_block_state(f"quayworks:shaft[{properties}]"))


def test_a_state_with_the_values_asked_for_is_a_part() -> None:
    assert isinstance(half("half=lower,kind=oak"), Resolved)
    assert isinstance(half("half=single,kind=oak,wet=true"), Resolved)


def test_a_state_with_another_value_is_no_part_whatever_else_it_has_or_lacks() -> None:
    left_out = NotAPart("half", "property half has the value upper, none of lower, single")
    assert half("half=upper,kind=oak") == left_out
    assert half("half=upper") == left_out
    assert half("half=upper,kind=oak", pose='{axis = "axis"}') == left_out
    assert half("kind=elm") == NotAPart("kind", "property kind has the value elm, none of oak")


def test_a_state_without_the_property_asked_for_is_not_understood() -> None:
    assert half("kind=oak") == NotUnderstood("half", "property half is absent")
    assert half("half=lower") == NotUnderstood("kind", "property kind is absent")


def test_numbers_of_links_switches_governors_and_least_speeds_are_settled_too() -> None:
    by_property = '{property = "set", values = {low = 2, high = 3}}'
    body = shaft(
        link=f"{{diameter = {by_property}}}",
        governor=f'{{port = "front", set_rpm = {by_property}, sense = "own"}}',
    )
    resolved = resolve_state(type_of(body), parse_block_state("quayworks:shaft[axis=x,set=high]"))
    assert isinstance(resolved, Resolved)
    assert dict(resolved.numbers) == {
        Field.END_0: 1,
        Field.END_1: -1,
        Field.DIAMETER: 3,
        Field.SET_RPM: 3,
    }
    switch = f'{{kind = "clutch", opens = ["front"], on = {by_property}}}'
    body = shaft(role='"machine"', torque="1", least_rpm=by_property, switch=switch)
    resolved = resolve_state(type_of(body), parse_block_state("quayworks:shaft[axis=x,set=low]"))
    assert isinstance(resolved, Resolved)
    numbers = dict(resolved.numbers)
    assert (numbers[Field.LEAST_RPM], numbers[Field.SWITCH]) == (2, 2)
    assert resolve_state(type_of(body), parse_block_state("quayworks:shaft[axis=x]")) == (
        NotUnderstood("set", "property set is absent")
    )
