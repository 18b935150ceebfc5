"""Tables, held against numpy's own distinct rows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.tables import (
    Interner,
    count_rows,
    distinct_rows,
    frozen,
    order_of_rows,
    unique_rows,
)

wide = st.integers(-(2**62), 2**62)
narrow = st.integers(-3, 3)
middling = st.integers(-(2**9), 2**9)
kinds = [
    (wide, wide, wide),
    (narrow, narrow, narrow),
    (narrow, narrow, middling, narrow, middling, wide),
    (middling, narrow, wide, wide, wide, narrow),
]


@given(st.one_of(*(st.lists(st.tuples(*kind), min_size=1) for kind in kinds)))
def test_distinct_rows_are_those_of_numpy(rows):
    table = np.array(rows, np.int64)
    distinct, number = unique_rows(*table.T)
    expected, inverse = np.unique(table, axis=0, return_inverse=True)
    assert distinct.tolist() == expected.tolist()
    assert number.tolist() == inverse.reshape(-1).tolist()
    alone = distinct_rows(*table.T)
    assert np.stack(alone, axis=1).tolist() == expected.tolist()


@given(st.one_of(*(st.lists(st.tuples(kind, kind, kind), min_size=1) for kind in (wide, narrow))))
def test_the_order_of_rows_is_that_of_sorting_them(rows):
    table = np.array(rows, np.int64)
    expected = sorted(range(len(rows)), key=rows.__getitem__)
    assert order_of_rows(*table.T).tolist() == expected


@given(st.lists(st.tuples(st.integers(0, 4), narrow, narrow)))
def test_rows_are_counted_by_group_as_a_set_counts_them(rows):
    table = np.array(rows, np.int32).reshape(-1, 3)
    expected = [len({row for row in rows if row[0] == group}) for group in range(6)]
    assert count_rows(6, *table.T).tolist() == expected


def test_no_rows_have_an_empty_order():
    assert order_of_rows(np.empty(0, np.int8), np.empty(0, np.int32)).tolist() == []


def test_distinct_rows_keep_the_types_of_their_columns():
    columns = np.array([-1, 4, -1], np.int8), np.array([2, 2, 2], np.int32)
    found = distinct_rows(*columns)
    assert [one.dtype for one in found] == [np.int8, np.int32]
    assert [one.tolist() for one in found] == [[-1, 4], [2, 2]]


def test_no_rows_give_two_empty_arrays():
    rows, number = unique_rows(np.empty(0, np.int8), np.empty(0, np.int8))
    assert rows.shape == (0, 2)
    assert number.shape == (0,)


def test_a_frozen_array_refuses_writing():
    array = frozen(np.zeros(1))
    with pytest.raises(ValueError, match="read-only"):
        array[0] = 1


def test_equal_items_get_one_number():
    intern = Interner("quay")
    assert [intern(letter) for letter in "yaq!"] == [3, 2, 0, 4]
    assert intern.items == ("q", "u", "a", "y", "!")
