"""Recorded speeds as block entities store them."""

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
from tests.parts.scans import DOUBLE, FLOAT, INT, LONG, STRING, Found, scan_of

SPEED = ("Drive", "Speed")


def shafts(
    *stored: tuple[int, float] | None,
    facing: str = "east",
    record: str = '{stored = ["Drive", "Speed"], about = "axis"}',
) -> Parts:
    """Return shafts, each with its recorded speed (tag and value) or without one."""
    text = (
        f'{HEAD}[parts."q:shaft"]\nrole = "transmission"\nentity = ["q:shaft"]\n'
        f'pose = {{facing = "facing"}}\nrecorded_rpm = {record}\n'
    )
    found = [
        Found(f"q:shaft[facing={facing}]", "q:shaft", {} if one is None else {SPEED: one})
        for one in stored
    ]
    return make_parts(scan_of(found), load_catalogue_text(text, FILE))


def records(parts: Parts) -> list[tuple[int, Fraction, Fraction, int]]:
    """Return part, stored number, unit and tag of each record."""
    table = parts.recorded
    return [
        (part, parts.numbers[stored], parts.numbers[unit], tag)
        for part, stored, unit, tag in zip(
            table.part.tolist(),
            table.stored.tolist(),
            table.unit.tolist(),
            table.tag.tolist(),
            strict=True,
        )
    ]


def test_parts_without_a_record_have_none_and_nothing_is_wrong() -> None:
    for parts in (shafts(), shafts(None, None)):
        assert (records(parts), parts.unusable) == ([], ())
        assert parts.recorded.tag.dtype == np.int8


def test_a_record_is_the_number_as_it_is_stored_with_its_tag() -> None:
    tenth = float(np.float32(0.1))
    parts = shafts((INT, -8), (FLOAT, tenth), None, (DOUBLE, tenth), (LONG, 10**9), (FLOAT, -0.0))
    assert records(parts) == [
        (0, -8, 1, INT),
        (1, Fraction(1, 10), 1, FLOAT),
        (3, Fraction("0.10000000149011612"), 1, DOUBLE),
        (4, 10**9, 1, LONG),
        (5, 0, 1, FLOAT),
    ]
    assert parts.unusable == ()


@pytest.mark.parametrize(
    ("facing", "sign"),
    [("east", 1), ("up", 1), ("south", 1), ("west", -1), ("down", -1), ("north", -1)],
)
def test_the_unit_of_a_record_about_the_front_has_the_sign_of_the_front(
    facing: str, sign: int
) -> None:
    about_front = '{stored = ["Drive", "Speed"], scale = 0.5, about = "front"}'
    about_axis = about_front.replace('"front"', '"axis"')
    half = Fraction(1, 2)
    parts = shafts((INT, 8), facing=facing, record=about_front)
    assert records(parts) == [(0, 8, sign * half, INT)]
    parts = shafts((INT, 8), facing=facing, record=about_axis)
    assert records(parts) == [(0, 8, half, INT)]


UNUSABLE = {
    "NaN": ((FLOAT, math.nan), "NaN"),
    "an infinity": ((DOUBLE, -math.inf), "-Infinity"),
    "text": ((STRING, 0), "string"),
    "beyond the bound": ((LONG, 10**9 + 1), "1000000001"),
}


@pytest.mark.parametrize("case", UNUSABLE)
def test_what_is_no_number_is_unusable_and_no_record(case: str) -> None:
    stored, found = UNUSABLE[case]
    parts = shafts((INT, 1), stored, (INT, 2))
    assert [record[0] for record in records(parts)] == [0, 2]
    assert parts.unusable == (Unusable(1, Field.RECORDED_RPM, "Drive.Speed", found),)


def test_a_record_that_its_scale_carries_beyond_the_bound_is_unusable() -> None:
    record = '{stored = ["Drive", "Speed"], scale = -10, about = "front"}'
    parts = shafts((INT, 10**8), (INT, -(10**8) - 1), record=record, facing="west")
    assert records(parts) == [(0, 10**8, 10, INT)]
    assert [one.found for one in parts.unusable] == ["-100000001"]


def test_records_of_several_types_and_poses_are_sorted_by_part() -> None:
    text = HEAD
    for name, scale in (("a", 1), ("b", 2)):
        text += (
            f'[parts."q:{name}"]\nrole = "transmission"\nentity = ["q:e"]\n'
            f'pose = {{facing = "facing"}}\n'
            f'recorded_rpm = {{stored = "S{name}", scale = {scale}, about = "front"}}\n'
        )
    found = [
        Found(f"q:{name}[facing={facing}]", "q:e", {("Sa",): (INT, 3), ("Sb",): (INT, 5)})
        for name, facing in (("b", "west"), ("a", "east"), ("b", "east"), ("a", "north"))
    ]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert [(stored, unit) for _, stored, unit, _ in records(parts)] == [
        (5, -2),
        (3, 1),
        (5, 2),
        (3, -1),
    ]
    for array in vars(parts.recorded).values():
        assert not array.flags.writeable


def test_one_path_may_be_both_a_rated_and_a_recorded_speed() -> None:
    text = (
        f'{HEAD}[parts."q:w"]\nrole = "mover"\nentity = ["q:w"]\npose = {{front = "west"}}\n'
        'rated_rpm = {stored = "Speed"}\ntorque = 1\n'
        'recorded_rpm = {stored = "Speed", about = "front"}\n'
    )
    found = [Found("q:w", "q:w", {("Speed",): (INT, 7)}), Found("q:w", "q:w")]
    parts = make_parts(scan_of(found), load_catalogue_text(text, FILE))
    assert parts.number(0, Field.RATED_RPM) == -7
    assert records(parts) == [(0, 7, -1, INT)]
    assert parts.unusable == (Unusable(1, Field.RATED_RPM, "Speed", "absent"),)
