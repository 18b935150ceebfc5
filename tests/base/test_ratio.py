"""Exact ratios, held against plain fractions."""

import math
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.ratio import coprime_basis, tabulate

numbers = st.lists(st.integers(1, 10**12), max_size=8)
ratios = st.lists(
    st.builds(Fraction, st.integers(-(10**6), 10**6).filter(bool), st.integers(1, 10**6)),
    max_size=8,
)


@given(numbers)
def test_the_basis_is_pairwise_coprime_and_composes_every_number(values):
    basis = coprime_basis(values)
    assert all(math.gcd(one, two) == 1 for one, two in combinations(basis, 2))
    assert all(base > 1 for base in basis)
    for value in values:
        rest = value
        for base in basis:
            while rest % base == 0:
                rest //= base
        assert rest == 1


@given(ratios)
def test_a_table_gives_back_every_ratio(values):
    table = tabulate(values)
    assert [table[index] for index in range(len(table))] == values


@given(ratios)
def test_the_basis_does_not_depend_on_order(values):
    assert tabulate(values).basis == tabulate(values[::-1]).basis


@given(ratios)
def test_equal_products_have_equal_exponents(values):
    table = tabulate(values)
    for one, two in combinations(range(len(values)), 2):
        same = bool(
            table.sign[one] == table.sign[two]
            and (table.exponents[one] == table.exponents[two]).all()
        )
        assert same == (values[one] == values[two])


@given(ratios)
def test_logarithms_are_near(values):
    for value, bits in zip(values, tabulate(values).log2(), strict=True):
        assert bits == pytest.approx(math.log2(abs(value)), abs=1e-9)


def test_zero_is_refused():
    with pytest.raises(ValueError, match="zero"):
        tabulate([Fraction(0)])
    with pytest.raises(ValueError, match="not positive"):
        coprime_basis([0])
