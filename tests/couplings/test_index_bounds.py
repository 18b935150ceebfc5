"""Positions outside the world of an index, which must not be taken for others inside it."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from analyzer.couplings.index import SiteIndex

CORNERS = np.array(list(itertools.product((0, 3), repeat=3)), np.int64)
FAR = 2**40


def found(index, dimension, places):
    asked, site = index.pairs_at(np.full(len(places), dimension), np.array(places, np.int64))
    return list(zip(asked.tolist(), site.tolist(), strict=True))


@pytest.mark.parametrize("scale", [1, FAR], ids=["one key a position", "ranked columns"])
def test_nothing_lies_at_any_other_place_in_or_round_a_cube(scale):
    sites = np.concatenate([CORNERS * scale, CORNERS * scale])
    index = SiteIndex(np.repeat([0, 1], len(CORNERS)), sites)
    places = list(itertools.product([k * scale for k in range(-9, 13)], repeat=3))
    for dimension in (-1, 0, 1, 2):
        expected = [
            (number, 8 * dimension + CORNERS.tolist().index([value // scale for value in place]))
            for number, place in enumerate(places)
            if dimension in (0, 1) and all(value in (0, 3 * scale) for value in place)
        ]
        assert found(index, dimension, places) == expected


@pytest.mark.parametrize("scale", [1, FAR])
def test_several_sites_at_one_place_are_all_found_in_their_order(scale):
    places = np.array([[3, 0, 1], [0, 2, 0], [3, 0, 1], [0, 2, 0], [3, 0, 1]]) * scale
    index = SiteIndex(np.zeros(5, np.int64), places)
    assert found(index, 0, places[[1, 0]]) == [(0, 1), (0, 3), (1, 0), (1, 2), (1, 4)]


@pytest.mark.parametrize("scale", [1, FAR])
def test_the_same_position_in_another_dimension_is_another_place(scale):
    index = SiteIndex(np.array([0, 1]), np.array([[3, 4, 5], [3, 4, 6]]) * scale)
    there = np.array([[3, 4, 5], [3, 4, 6]]) * scale
    assert found(index, 0, there) == [(0, 0)]
    assert found(index, 1, there) == [(1, 1)]


def test_no_sites_are_found_nowhere_and_no_question_finds_nothing():
    nothing = SiteIndex(np.empty(0, np.int16), np.empty((0, 3), np.int32))
    asked, site = nothing.pairs_at(np.zeros(2, np.int16), np.zeros((2, 3), np.int32))
    assert (asked.tolist(), site.tolist()) == ([], [])
    assert (asked.dtype, site.dtype) == (np.int64, np.int64)
    some = SiteIndex(np.zeros(1, np.int16), np.zeros((1, 3), np.int32))
    asked, site = some.pairs_at(np.empty(0, np.int16), np.empty((0, 3), np.int32))
    assert (asked.dtype, site.dtype, len(asked), len(site)) == (np.int64, np.int64, 0, 0)


@pytest.mark.parametrize("scale", [1, FAR])
def test_sites_that_all_share_one_place_are_all_found(scale):
    index = SiteIndex(np.zeros(3, np.int64), np.array([[1, 2, 3]] * 3) * scale)
    assert found(index, 0, np.array([[1, 2, 3]]) * scale) == [(0, 0), (0, 1), (0, 2)]


@pytest.mark.parametrize("span", [1, FAR])
def test_what_lies_at_an_offset_is_found_from_either_end_of_it(span):
    # The last site makes the world so wide that it has no one key a position.
    places = np.array([[3, 4, 5], [4, 4, 4], [3 * span, 3 * span, 3 * span + 9]])
    index = SiteIndex(np.zeros(3, np.int64), places)
    for offset, pairs in (((1, 0, -1), [(0, 1)]), ((-1, 0, 1), [(1, 0)]), ((1, 0, 1), [])):
        asked, site = index.pairs_beside(np.array([0, 1]), offset)
        assert list(zip(asked.tolist(), site.tolist(), strict=True)) == pairs
