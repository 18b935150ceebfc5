"""Exact numbers: what a stored float means, and how numbers are written."""

import struct
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.exact import decimal_text, plain_number, stored_number

INT, FLOAT, DOUBLE, STRING = 3, 5, 6, 8


@given(st.integers(-(10**9), 10**9))
def test_a_stored_integer_is_exact(value):
    assert stored_number(INT, value, 0.0) == value


@given(st.floats(-(10.0**9), 10.0**9, width=32))
def test_a_stored_float_means_the_shortest_decimal_that_reads_back(value):
    number = stored_number(FLOAT, 0, value)
    assert struct.pack(">f", float(number)) == struct.pack(">f", value if value else 0.0)
    digits = len((Decimal(number.numerator) / number.denominator).normalize().as_tuple().digits)
    if digits > 1:
        shorter = float(f"{value:.{digits - 2}e}")
        assert struct.pack(">f", shorter) != struct.pack(">f", value)


@given(st.floats(-(10.0**9), 10.0**9))
def test_a_stored_double_reads_back(value):
    assert float(stored_number(DOUBLE, 0, value)) == value


def test_a_tenth_stored_in_either_width_is_a_tenth():
    single = struct.unpack(">f", struct.pack(">f", 0.1))[0]
    assert stored_number(FLOAT, 0, single) == stored_number(DOUBLE, 0, 0.1) == Fraction(1, 10)


def test_minus_zero_is_zero():
    assert stored_number(DOUBLE, 0, -0.0) == 0


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 1.0000001e9])
def test_what_is_no_usable_number_is_refused(value):
    assert stored_number(DOUBLE, 0, value) is None


def test_the_greatest_magnitude_is_allowed_and_one_more_is_not():
    assert stored_number(4, 10**9, 0.0) == 10**9
    assert stored_number(4, 10**9 + 1, 0.0) is None
    assert stored_number(STRING, 5, 5.0) is None


def test_numbers_for_people_say_when_they_are_rounded():
    assert decimal_text(Fraction(8)) == "8"
    assert decimal_text(Fraction(1, 8), places=3) == "0.125"
    assert decimal_text(Fraction(2, 3)) == "~0.67"
    assert decimal_text(Fraction(-1234567, 2)) == "-617,283.5"
    assert decimal_text(Fraction(-1, 1000)) == "~0"


def test_integers_stay_integers_for_machines():
    assert isinstance(plain_number(Fraction(256)), int)
    assert plain_number(Fraction(1, 3)) == 1 / 3
