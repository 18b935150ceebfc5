"""Numbers found by their path, and what is no number."""

from __future__ import annotations

import struct

import pytest

from analyzer.base.limits import Limits
from analyzer.save.scan.stored import Stored, read_stored
from tests.save.nbt_bytes import (
    Tag,
    byte,
    byte_array,
    compound,
    double,
    int_array,
    integer,
    list_of,
    long,
    long_array,
    named,
    short,
    single,
    text,
)

ENTITY = compound(
    id=text("quayworks:shaft"),
    Tide=byte(-3),
    Draught=short(-300),
    Load=integer(-70_000),
    Age=long(-(2**40)),
    Speed=single(0.1),
    Fine=double(0.1),
    Name=text("north"),
    Ropes=byte_array([1, -2]),
    Berths=int_array([7, 8, 9]),
    Marks=long_array([2**40]),
    Drive=compound(
        Speeds=list_of(single(8), single(16)), Stages=list_of(compound(Ratio=integer(4)))
    ),
    Empty=list_of(),
    **{"Wind.Force": integer(6)},
)


def find(*steps: str | int) -> Stored | None:
    return read_stored(ENTITY.body, 0, steps, Limits())


@pytest.mark.parametrize(
    ("steps", "tag", "value"),
    [
        (("Tide",), 1, -3),
        (("Draught",), 2, -300),
        (("Load",), 3, -70_000),
        (("Age",), 4, -(2**40)),
        (("Ropes", 1), 1, -2),
        (("Berths", 2), 3, 9),
        (("Marks", 0), 4, 2**40),
        (("Drive", "Stages", 0, "Ratio"), 3, 4),
        (("Wind.Force",), 3, 6),
    ],
)
def test_integers_are_found_with_the_tag_they_have(
    steps: tuple[str | int, ...], tag: int, value: int
) -> None:
    assert find(*steps) == Stored(tag, value, 0.0)


def test_a_float_keeps_its_tag_and_is_widened() -> None:
    assert find("Speed") == Stored(5, 0, struct.unpack(">f", struct.pack(">f", 0.1))[0])
    assert find("Fine") == Stored(6, 0, 0.1)
    assert find("Drive", "Speeds", 1) == Stored(5, 0, 16.0)


@pytest.mark.parametrize(
    ("steps", "tag"),
    [
        (("Name",), 8),
        (("Ropes",), 7),
        (("Berths",), 11),
        (("Marks",), 12),
        (("Drive",), 10),
        (("Drive", "Speeds"), 9),
        (("Empty",), 9),
        ((), 10),
    ],
)
def test_what_is_no_number_gives_its_tag_and_zeros(steps: tuple[str | int, ...], tag: int) -> None:
    assert find(*steps) == Stored(tag, 0, 0.0)


@pytest.mark.parametrize(
    "steps",
    [
        ("Missing",),
        ("speed",),
        ("Load", "Load"),
        ("Load", 0),
        ("Berths", 3),
        ("Berths", -1),
        ("Berths", "0"),
        ("Drive", 0),
        ("Drive", "Speeds", 2),
        ("Drive", "Speeds", -1),
        ("Drive", "Speeds", "0"),
        ("Drive", "Stages", 0, "Missing"),
        ("Empty", 0),
    ],
)
def test_a_path_that_leads_nowhere_gives_nothing(steps: tuple[str | int, ...]) -> None:
    assert find(*steps) is None


def test_the_last_of_two_values_under_one_name_counts_as_in_the_game() -> None:
    twice = Tag(10, named("Load", integer(1)) + named("Load", integer(2)) + b"\x00")
    assert read_stored(twice.body, 0, ("Load",), Limits()) == Stored(3, 2, 0.0)


def test_keys_are_compared_as_modified_utf_8() -> None:
    body = named("Flut🐟".encode(), integer(1))
    plain = Tag(10, body + b"\x00")
    proper = Tag(10, named(b"Flut\xed\xa0\xbd\xed\xb0\x9f", integer(1)) + b"\x00")
    assert read_stored(plain.body, 0, ("Flut🐟",), Limits()) is None
    assert read_stored(proper.body, 0, ("Flut🐟",), Limits()) == Stored(3, 1, 0.0)
