"""Look-ups by position, held against a dictionary."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.couplings.index import PositionIndex


@dataclass(frozen=True, eq=False)
class FakeParts:
    dimension: Any
    xyz: Any

    def __len__(self):
        return len(self.dimension)


near = st.integers(-2, 2)
far = st.sampled_from([-(2**31), -(2**31) + 1, -1, 0, 2**31 - 2, 2**31 - 1])


def places(coordinate):
    return st.lists(st.tuples(st.integers(0, 2), coordinate, coordinate, coordinate), unique=True)


@pytest.mark.parametrize("coordinate", [near, far], ids=["a small world", "a world of all numbers"])
def test_positions_are_found_as_a_dictionary_finds_them(coordinate):
    @given(places(coordinate), places(coordinate))
    def check(parts, asked):
        table = np.array(sorted(parts), np.int64).reshape(-1, 4)
        index = PositionIndex(FakeParts(dimension=table[:, 0], xyz=table[:, 1:]))
        queries = np.array(asked, np.int64).reshape(-1, 4)
        row_of = {place: row for row, place in enumerate(sorted(parts))}
        expected = [row_of.get(place, -1) for place in asked]
        assert index.rows_at(queries[:, 0], queries[:, 1:]).tolist() == expected

    check()
