"""Which speeds a stored number can stand for."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.findings.trial.width import (
    Reading,
    ratio_span,
    simplest_between,
    telling_spans,
)

INT, FLOAT, DOUBLE = 3, 5, 6
ONE = Fraction(1)


def floats_at(value: float, steps: int) -> Fraction:
    found = np.float32(value)
    for _ in range(abs(steps)):
        found = np.nextafter(found, np.float32(np.inf if steps > 0 else -np.inf))
    return Fraction(float(found))


@pytest.mark.parametrize(
    ("steps", "agrees"), [(0, True), (2, True), (3, False), (-2, True), (-3, False)]
)
def test_a_float_agrees_within_two_steps(steps: int, agrees: bool) -> None:
    assert Reading(Fraction(8, 3), ONE, FLOAT).agrees(floats_at(8 / 3, steps)) is agrees


def test_a_speed_half_way_to_the_third_step_rounds_to_the_even_one() -> None:
    # 1 + 2 ** -23 k: the second step above 1 has an even last digit, the third an odd one.
    half = (floats_at(1, 2) + floats_at(1, 3)) / 2
    assert Reading(ONE, ONE, FLOAT).agrees(half)
    # From the odd float after 1 the second step is odd, so a tie goes to the third, which is even.
    half = (floats_at(1, 3) + floats_at(1, 4)) / 2
    assert not Reading(floats_at(1, 1), ONE, FLOAT).agrees(half)


def test_a_double_is_told_from_a_float_by_its_width() -> None:
    speed = Fraction(float(np.float32(0.1)))
    assert Reading(Fraction(1, 10), ONE, FLOAT).agrees(speed)
    assert not Reading(Fraction(1, 10), ONE, DOUBLE).agrees(speed)


@pytest.mark.parametrize(
    ("speed", "agrees"), [("15/2", True), ("17/2", True), ("8", True), ("7499/1000", False)]
)
def test_a_whole_number_agrees_within_half_of_one(speed: str, agrees: bool) -> None:
    assert Reading(Fraction(8), ONE, INT).agrees(Fraction(speed)) is agrees


def test_the_tolerance_is_in_units_of_storage() -> None:
    quarter_turns = Reading(Fraction(32), Fraction(-1, 4), INT)
    assert quarter_turns.rpm == -8
    assert quarter_turns.agrees(Fraction(-65, 8))
    assert not quarter_turns.agrees(Fraction(-33, 4))


def test_two_whole_numbers_leave_each_other_half_a_unit() -> None:
    span = ratio_span(Reading(Fraction(10), ONE, INT), Reading(Fraction(8), ONE, INT))
    assert span == (Fraction("7.5") / Fraction("10.5"), Fraction("8.5") / Fraction("9.5"))


def test_a_float_compared_with_a_whole_number_is_exact() -> None:
    span = ratio_span(Reading(Fraction(10), ONE, FLOAT), Reading(Fraction(8), ONE, INT))
    assert span == (Fraction(3, 4), Fraction(17, 20))


def test_two_floats_leave_two_steps_of_the_second_alone() -> None:
    low, high = ratio_span(Reading(ONE, ONE, FLOAT), Reading(Fraction(3), ONE, FLOAT))
    assert floats_at(3, -3) < low < floats_at(3, -2)
    assert floats_at(3, 2) < high < floats_at(3, 3)


def test_speeds_of_opposite_sense_have_a_negative_ratio() -> None:
    low, high = ratio_span(Reading(Fraction(-4), ONE, INT), Reading(Fraction(8), ONE, INT))
    assert low < -2 < high < 0


fractions = st.fractions(min_value=-50, max_value=50, max_denominator=60)


@given(fractions, fractions)
def test_no_fraction_between_is_simpler_than_the_simplest(one: Fraction, other: Fraction) -> None:
    low, high = min(one, other), max(one, other)
    found = simplest_between(low, high)
    assert low <= found <= high
    for denominator in range(1, found.denominator):
        assert -(-low * denominator // 1) > high * denominator // 1


def test_what_whole_numbers_have_in_common_says_more_than_each() -> None:
    spans = {(Fraction(1, 2), Fraction(3, 2)): 9, (Fraction(5, 4), Fraction(4, 3)): 1}
    assert telling_spans(spans)[-1] == (Fraction(5, 4), Fraction(4, 3))
    assert telling_spans({(Fraction(-1), Fraction(1)): 5}) == []
