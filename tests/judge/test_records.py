"""The judge on speeds that a save recorded."""

from __future__ import annotations

import math
import struct
from fractions import Fraction
from typing import Any

import pytest

from tests.judge.build import driving, here, keeping, loaded, shaft, solved
from tests.judge.parts import Record
from tests.judge.records import agrees, last_place
from tests.judge.stored import Tagged


def next_single(value: float) -> float:
    bits = struct.unpack("<i", struct.pack("<f", value))[0]
    return struct.unpack("<f", struct.pack("<i", bits + 1))[0]


@pytest.mark.parametrize("value", [1.0, 1.5, 0.1, 2.0**100, 5e-324, 2.0**-1022, 123456.789])
def test_the_last_place_is_the_step_to_the_next_float(value: float) -> None:
    assert last_place(value, "double") == Fraction(math.ulp(value))
    single = struct.unpack("<f", struct.pack("<f", value))[0]
    assert last_place(single, "float") == Fraction(next_single(single)) - Fraction(single)


def test_a_float_may_be_two_units_in_the_last_place_away() -> None:
    third = Fraction(1, 3)
    kept = 1 / 3
    for steps in range(4):
        record = Record(Tagged("double", kept), Fraction(1))
        assert agrees(record, third, stands_still=False) == (steps <= 2)
        kept = math.nextafter(kept, 1)
    kept = struct.unpack("<f", struct.pack("<f", 1 / 3))[0]
    for steps in range(4):
        record = Record(Tagged("float", kept), Fraction(1))
        assert agrees(record, third, stands_still=False) == (steps <= 2)
        kept = next_single(kept)


@pytest.mark.parametrize(
    ("speed", "agreed"),
    [(Fraction(15, 2), True), (Fraction(17, 2), True), (Fraction(86, 10), False), (-8, False)],
)
def test_an_integer_has_to_be_the_nearest(speed: Any, agreed: bool) -> None:
    record = Record(Tagged("short", 8), Fraction(1))
    assert agrees(record, Fraction(speed), stands_still=False) == agreed


def test_zero_agrees_where_the_network_stands_still() -> None:
    for kind, value in (("int", 0), ("float", -0.0)):
        record = Record(Tagged(kind, value), Fraction(1))
        assert agrees(record, Fraction(8), stands_still=True)
        assert agrees(record, None, stands_still=True)
        assert not agrees(record, Fraction(8), stands_still=False)
    eight = Record(Tagged("int", 8), Fraction(1))
    assert agrees(eight, Fraction(8), stands_still=True)
    assert not agrees(eight, None, stands_still=True)


def test_a_speed_beyond_every_float_agrees_with_none() -> None:
    record = Record(Tagged("float", 3e38), Fraction(1))
    assert not agrees(record, Fraction(2) ** 200, stands_still=False)


@pytest.mark.parametrize(
    ("about", "facing", "stored", "stale"),
    [
        ("front", "west", -16, False),
        ("front", "east", 16, False),
        ("axis", "west", 16, False),
        ("axis", "west", -16, True),
        ("front", "west", 16, True),
    ],
)
def test_a_record_is_about_the_front_or_about_the_axis(
    about: str, facing: str, stored: int, stale: bool
) -> None:
    record = {"stored": "Speed", "scale": Fraction(1, 2), "about": about}
    entries = {"motor": driving(shaft(), 8), "shaft": keeping(shaft(recorded_rpm=record))}
    build = {
        (0, 0, 0): ("motor", "east"),
        (1, 0, 0): ("shaft", facing, {"Speed": Tagged("int", stored)}),
    }
    (network,) = solved(entries, build)
    assert bool(network.stale) == stale


def test_records_of_networks_in_every_state() -> None:
    record = {"recorded_rpm": {"stored": "Speed", "about": "axis"}}
    entries = {
        "motor": driving(shaft(), 8, 1),
        "loom": keeping(loaded(shaft(**record), 3)),
        "shaft": keeping(shaft(**record)),
    }

    def stale(build: dict[Any, Any], value: float, last: str = "shaft") -> bool:
        data = {"Speed": Tagged("float", value)}
        (network,) = solved(entries, {**build, (1, 0, 0): (last, "east", data)})
        return network.stale == {here(1, 0, 0)}

    motor = {(0, 0, 0): ("motor", "east")}
    fighting = {**motor, (2, 0, 0): ("motor", "west")}
    assert [stale(motor, value) for value in (8, 0, 7)] == [False, True, True]
    assert [stale({}, value) for value in (0, 8)] == [False, True]
    assert [stale(fighting, value) for value in (0, 8)] == [False, True]
    # Overloaded: 0, or what it would be.
    assert [stale(motor, value, "loom") for value in (0, 8, 7)] == [False, False, True]
    data = {"Speed": Tagged("float", float("nan"))}
    (network,) = solved(entries, {**motor, (1, 0, 0): ("shaft", "east", data)})
    assert (network.stale, network.cut) == (frozenset(), True)
