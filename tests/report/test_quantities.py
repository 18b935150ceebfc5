"""Quantities as numbers and as exact texts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.base.exact import MAX_DIGITS
from analyzer.report.quantities import amount, exact_of, number_of, quantity


def test_a_quantity_that_does_not_exist_is_null_twice() -> None:
    assert quantity("demand", None) == {"demand": None, "demand_exact": None}


@pytest.mark.parametrize(
    ("value", "there"),
    [
        (Fraction(10**158), True),
        (Fraction(10**160), False),
        (Fraction(10**79 + 1, 10**78), True),
        (Fraction(10**81 + 1, 10**80), False),
    ],
)
def test_an_exact_text_has_at_most_160_digits(value: Fraction, there: bool) -> None:
    text = exact_of(value)
    assert (text is not None) == there
    if text is not None:
        assert sum(char.isdigit() for char in text) <= MAX_DIGITS
        assert Fraction(text) == value


def test_a_number_too_large_for_a_double_is_null() -> None:
    assert number_of(Fraction(2) ** 2000) is None
    assert number_of(Fraction(1, 3)) == 1 / 3


def test_a_huge_amount_is_told_by_its_size() -> None:
    assert amount(Fraction(-(2**3000)), "rpm") == "about -10^903 rpm"
