"""Look-ups by position, held against a dictionary."""

from collections import defaultdict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.couplings.index import SiteIndex

near = st.integers(-2, 2)
far = st.sampled_from([-(2**31), -(2**31) + 1, -1, 0, 2**31 - 2, 2**31 - 1])


def places(coordinate):
    return st.lists(st.tuples(st.integers(0, 2), coordinate, coordinate, coordinate))


@pytest.mark.parametrize("coordinate", [near, far], ids=["a small world", "a world of all numbers"])
def test_positions_are_found_as_a_dictionary_finds_them(coordinate):
    @given(places(coordinate), places(coordinate))
    def check(parts, asked):
        table = np.array(parts, np.int64).reshape(-1, 4)
        index = SiteIndex(table[:, 0], table[:, 1:])
        queries = np.array(asked, np.int64).reshape(-1, 4)
        sites = defaultdict(list)
        for site, place in enumerate(parts):
            sites[place].append(site)
        expected = [(number, site) for number, place in enumerate(asked) for site in sites[place]]
        found = index.pairs_at(queries[:, 0], queries[:, 1:])
        assert list(zip(*(column.tolist() for column in found), strict=True)) == expected

    check()


@pytest.mark.parametrize("coordinate", [near, far], ids=["a small world", "a world of all numbers"])
def test_neighbours_of_sites_are_those_found_at_their_positions(coordinate):
    step = st.integers(-1, 1)

    @given(places(coordinate), st.tuples(step, step, step))
    def check(parts, offset):
        table = np.array(parts, np.int64).reshape(-1, 4)
        index = SiteIndex(table[:, 0], table[:, 1:])
        every = np.arange(len(parts))
        beside = index.pairs_beside(every, offset)
        there = index.pairs_at(table[:, 0], table[:, 1:] + np.array(offset))
        assert [one.tolist() for one in beside] == [one.tolist() for one in there]

    check()
