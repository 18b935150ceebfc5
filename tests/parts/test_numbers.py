from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.load import load_catalogue_text
from analyzer.parts.make import make_parts
from analyzer.parts.parts import Parts, Unusable
from tests.catalogue.texts import FILE, HEAD
from tests.parts.scans import DOUBLE, FLOAT, INT, LIST, STRING, Found, scan_of

SPEED = ("Drive", "Speeds", 0)


def wheels(
    *stored: tuple[int, float] | None,
    facing: str = "east",
    rated: str = '{stored = ["Drive", "Speeds", 0]}',
    rest: str = "torque = 32",
) -> Parts:
    """Return wheels, each with its stored speed (tag and value) or without one."""
    text = (
        f'{HEAD}[parts."quayworks:wheel"]\nrole = "mover"\nentity = ["quayworks:wheel"]\n'
        f'pose = {{facing = "facing"}}\nrated_rpm = {rated}\n{rest}\n'
    )
    found = [
        Found(
            f"quayworks:wheel[facing={facing}]",
            "quayworks:wheel",
            {} if one is None else {SPEED: one},
        )
        for one in stored
    ]
    return make_parts(scan_of(found), load_catalogue_text(text, FILE))


def speeds(parts: Parts) -> list[Fraction | None]:
    return [parts.number(row, Field.RATED_RPM) for row in range(len(parts))]


def test_a_stored_integer_is_exact() -> None:
    assert speeds(wheels((INT, 8), (1, -128), (4, 10**9))) == [8, -128, 10**9]


def test_a_stored_float_is_the_shortest_decimal_of_its_width() -> None:
    tenth = float(np.float32(0.1))
    assert speeds(wheels((FLOAT, tenth), (DOUBLE, tenth), (DOUBLE, 0.1))) == [
        Fraction(1, 10),
        Fraction("0.10000000149011612"),
        Fraction(1, 10),
    ]


def test_minus_nought_is_nought() -> None:
    assert speeds(wheels((FLOAT, -0.0), (DOUBLE, -0.0), (INT, 0))) == [0, 0, 0]


def test_a_stored_number_is_scaled() -> None:
    rated = '{stored = ["Drive", "Speeds", 0], scale = -0.25}'
    assert speeds(wheels((INT, 8), (FLOAT, 0.5), rated=rated)) == [-2, Fraction(-1, 8)]


def test_a_stored_speed_is_about_the_positive_world_axis_too() -> None:
    rated = '{stored = ["Drive", "Speeds", 0], default = 4}'
    assert speeds(wheels((INT, 8), None, facing="north", rated=rated)) == [-8, -4]
    assert speeds(wheels((INT, 8), None, facing="south", rated=rated)) == [8, 4]


def test_an_absent_number_has_the_default_as_it_stands_and_is_otherwise_unusable() -> None:
    rated = '{stored = ["Drive", "Speeds", 0], scale = 10, default = 4}'
    parts = wheels(None, (INT, 1), rated=rated)
    assert (speeds(parts), parts.unusable) == ([4, 10], ())
    parts = wheels(None, (INT, 1))
    assert speeds(parts) == [None, 1]
    assert parts.unusable == (Unusable(0, Field.RATED_RPM, "Drive.Speeds[0]", "absent"),)


UNUSABLE = {
    "text": ((STRING, 0), "string"),
    "a list": ((LIST, 0), "list"),
    "a compound": ((10, 0), "compound"),
    "bytes": ((7, 0), "byte array"),
    "integers": ((11, 0), "int array"),
    "longs": ((12, 0), "long array"),
    "NaN": ((FLOAT, math.nan), "NaN"),
    "NaN of double width": ((DOUBLE, math.nan), "NaN"),
    "an infinity": ((FLOAT, math.inf), "Infinity"),
    "a negative infinity": ((DOUBLE, -math.inf), "-Infinity"),
    "an integer beyond the bound": ((4, 10**9 + 1), "1000000001"),
    "a negative integer beyond the bound": ((4, -(10**9) - 1), "-1000000001"),
    "a float beyond the bound": ((FLOAT, float(np.float32(1e20))), "1e+20"),
    "a double beyond the bound": ((DOUBLE, 1e300), "1e+300"),
}


@pytest.mark.parametrize("case", UNUSABLE)
def test_an_unusable_number_says_what_was_found_and_spoils_no_other(case: str) -> None:
    stored, found = UNUSABLE[case]
    default = '{stored = ["Drive", "Speeds", 0], default = 4}'
    for rated in ('{stored = ["Drive", "Speeds", 0]}', default):
        parts = wheels((INT, 8), stored, (INT, 8), rated=rated)
        assert speeds(parts) == [8, None, 8]
        assert parts.unusable == (Unusable(1, Field.RATED_RPM, "Drive.Speeds[0]", found),)


def test_a_number_that_the_scale_carries_beyond_the_bound_is_unusable() -> None:
    rated = '{stored = ["Drive", "Speeds", 0], scale = 10}'
    parts = wheels((INT, 10**8), (INT, 10**8 + 1), rated=rated)
    assert speeds(parts) == [10**9, None]
    assert [one.found for one in parts.unusable] == ["100000001"]


#: Where a stored number can be, with a usable value, and one that its field cannot take.
FIELDS = {
    Field.TORQUE: ("torque = {stored = 'N'}", 0, -1),
    Field.TEETH: ("torque = 1\nrim = {kind = 'near', teeth = {stored = 'N'}}", 1, 0),
    Field.END_4: ("torque = 1\nends = {right = {stored = 'N'}}", -1, 0),
    Field.ACTIVE: ("torque = 1\nactive = {stored = 'N'}", 0, None),
}


#: The same for what a transmission or a machine can have.
OTHER_FIELDS = {
    Field.LEAST_RPM: ("machine", "torque = 1\nleast_rpm = {stored = 'N'}", 0, -1),
    Field.DIAMETER: ("transmission", "link = {diameter = {stored = 'N'}}", 1, 0),
    Field.SWITCH: (
        "transmission",
        "ends = {front = 1}\nswitch = {kind = 'clutch', opens = ['front'], on = {stored = 'N'}}",
        -1,
        None,
    ),
    Field.END_2: ("transmission", "ends = {top = {factor = {stored = 'N'}}}", -2, 0),
}


@pytest.mark.parametrize("field", OTHER_FIELDS)
def test_a_stored_number_of_any_role_has_the_bounds_of_its_field(field: Field) -> None:
    role, rest, good, bad = OTHER_FIELDS[field]
    entry = f'role = "{role}"\nentity = ["q:p"]\npose = {{front = "west"}}\n{rest}\n'
    text = f'{HEAD}[parts."q:p"]\n{entry}'
    stored = [(INT, good), (INT, 0 if bad is None else bad), (STRING, 0)]
    found = [Found("q:p", "q:p", {("N",): one}) for one in stored]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [parts.number(row, field) for row in range(3)] == [
        good,
        0 if bad is None else None,
        None,
    ]
    assert [(one.part, one.field) for one in parts.unusable] == [
        *([] if bad is None else [(1, field)]),
        (2, field),
    ]


@pytest.mark.parametrize("facing", ["east", "west", "up", "down", "south", "north"])
def test_a_set_speed_is_about_the_positive_world_axis_and_a_least_speed_has_no_sense(
    facing: str,
) -> None:
    sign = 1 if facing in ("east", "up", "south") else -1
    text = (
        f'{HEAD}[parts."q:g"]\nrole = "transmission"\nentity = ["q:e"]\n'
        'pose = {facing = "facing"}\nends = {front = -3}\n'
        'governor = {port = "front", set_rpm = {stored = "S", default = -4}, sense = "own"}\n'
        '[parts."q:m"]\nrole = "machine"\nentity = ["q:e"]\npose = {facing = "facing"}\n'
        "torque = 1\nleast_rpm = 2\n"
    )
    found = [
        Found(f"q:g[facing={facing}]", "q:e", {("S",): (INT, 6)}),
        Found(f"q:g[facing={facing}]", "q:e"),
        Found(f"q:m[facing={facing}]", "q:e"),
    ]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [parts.number(row, Field.SET_RPM) for row in range(3)] == [6 * sign, -4 * sign, None]
    assert parts.number(0, Field.END_0) == -3
    assert parts.number(2, Field.LEAST_RPM) == 2


def test_a_switch_is_on_where_its_number_is_not_nought_and_off_where_it_is_unusable() -> None:
    text = (
        f'{HEAD}[parts."q:c"]\nrole = "transmission"\nentity = ["q:e"]\npose = {{front = "up"}}\n'
        "ends = {front = 1}\nswitch = {kind = 'clutch', opens = ['front'], on = {stored = 'N'}}\n"
        '[parts."q:s"]\nrole = "transmission"\nentity = ["q:e"]\npose = {front = "up"}\n'
    )
    stored = [(INT, 1), (INT, 0), (DOUBLE, 0.5), (FLOAT, -0.0), (STRING, 0)]
    found = [Found("q:c", "q:e", {("N",): one}) for one in stored] + [Found("q:s", "q:e")]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert parts.switch_states().tolist() == [1, 0, 1, 0, 0, -1]


@pytest.mark.parametrize("field", FIELDS)
def test_a_stored_number_of_the_wrong_sign_for_its_field_is_unusable(field: Field) -> None:
    rest, good, bad = FIELDS[field]
    text = (
        f'{HEAD}[parts."quayworks:wheel"]\nrole = "mover"\nentity = ["quayworks:wheel"]\n'
        f'pose = {{front = "west"}}\nrated_rpm = 8\n{rest}\n'
    )
    values = [good] if bad is None else [good, bad]
    found = [
        Found("quayworks:wheel", "quayworks:wheel", {("N",): (INT, value)}) for value in values
    ]
    found.append(Found("quayworks:wheel", "quayworks:wheel", {("N",): (STRING, 0)}))
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [parts.number(row, field) for row in range(len(parts))] == [
        good,
        *([] if bad is None else [None]),
        None,
    ]
    assert [(one.field, one.found) for one in parts.unusable] == [
        *([] if bad is None else [(field, str(bad))]),
        (field, "string"),
    ]
    assert parts.number(0, Field.RATED_RPM) == -8


def test_types_that_read_one_path_in_different_ways_do_not_mix() -> None:
    text = HEAD
    for name, scale in (("a", 1), ("b", 2), ("c", -3)):
        text += (
            f'[parts."q:{name}"]\nrole = "machine"\nentity = ["q:e"]\npose = {{front = "up"}}\n'
            f"torque = {{stored = 'N', scale = {scale}}}\n"
        )
    found = [Found(f"q:{name}", "q:e", {("N",): (INT, 5)}) for name in "abcab"]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [parts.number(row, Field.TORQUE) for row in range(5)] == [5, 10, None, 5, 10]
    assert parts.unusable == (Unusable(2, Field.TORQUE, "N", "5"),)


def test_several_numbers_of_one_entity_are_each_read_at_their_own_path() -> None:
    text = (
        f'{HEAD}[parts."q:a"]\nrole = "mover"\nentity = ["q:e"]\npose = {{front = "up"}}\n'
        "rated_rpm = {stored = ['N', 1]}\ntorque = {stored = 'N'}\nactive = {stored = 'On'}\n"
    )
    found = [
        Found("q:a", "q:e", {("On",): (1, 1), ("N", 1): (INT, 7), ("N",): (LIST, 0)}),
        Found("q:a", "q:e", {("N",): (DOUBLE, 2.5), ("On",): (1, 0)}),
    ]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    fields = (Field.RATED_RPM, Field.TORQUE, Field.ACTIVE)
    assert [parts.number(0, field) for field in fields] == [7, None, 1]
    assert [parts.number(1, field) for field in fields] == [None, Fraction(5, 2), 0]
    assert parts.unusable == (
        Unusable(0, Field.TORQUE, "N", "list"),
        Unusable(1, Field.RATED_RPM, "N[1]", "absent"),
    )


def test_a_path_that_no_entity_of_the_scan_has_is_absent_everywhere() -> None:
    parts = wheels(None, None)
    assert speeds(parts) == [None, None]
    assert [one.found for one in parts.unusable] == ["absent", "absent"]


def test_a_key_that_is_no_plain_word_is_quoted_in_the_path() -> None:
    parts = wheels(None, rated='{stored = ["q:drive", "Rated speed"]}')
    assert [one.path for one in parts.unusable] == ['"q:drive"."Rated speed"']
