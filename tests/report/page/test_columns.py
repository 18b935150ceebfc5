"""Columns of integers as text, read back by a plain reader."""

from __future__ import annotations

import base64

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.report.page.columns import coded


def read(column: dict[str, str]) -> list[int]:
    """Read a column one byte after the other, as docs/report-page.md says."""
    numbers, value, place = [], 0, 1
    for byte in base64.b64decode(column["data"], validate=True):
        value += (byte & 127) * place
        place *= 128
        if byte < 128:
            numbers.append(-(value + 1) // 2 if value % 2 else value // 2)
            value, place = 0, 1
    if column["code"] == "plain":
        return numbers
    if column["code"] == "delta":
        return np.cumsum(numbers).tolist()
    pairs = zip(numbers[::2], numbers[1::2], strict=True)
    return [number for number, times in pairs for _ in range(times)]


@given(st.lists(st.integers(-(2**51), 2**51)))
def test_every_column_reads_back_as_it_was(numbers: list[int]) -> None:
    assert read(coded(np.array(numbers, np.int64))) == numbers


@pytest.mark.parametrize(
    ("numbers", "code"),
    [([], "plain"), ([3, -4, 60], "plain"), (list(range(1000, 1100)), "delta"), ([7] * 9, "runs")],
)
def test_the_shortest_way_is_taken(numbers: list[int], code: str) -> None:
    column = coded(np.array(numbers, np.int64))
    assert column["code"] == code
    assert read(column) == numbers


@pytest.mark.parametrize("dtype", [np.int8, np.int16, np.int32, np.uint8])
def test_narrow_columns_do_not_overflow(dtype: type[np.integer]) -> None:
    numbers = [np.iinfo(dtype).max, np.iinfo(dtype).min, np.iinfo(dtype).max]
    assert read(coded(np.array(numbers, dtype))) == numbers
