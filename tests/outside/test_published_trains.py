"""Every train with published speeds, held against the solver and against saves built of it."""

from __future__ import annotations

import pytest

from tests.outside.test_clock_trains import TRAINS as CLOCKS
from tests.outside.test_gear_trains import TRAINS as GEARS
from tests.outside.test_lathe_trains import TRAINS as LATHES
from tests.outside.train_cases import (
    Train,
    assert_built_from_either_end,
    assert_one_idler_reverses_and_two_do_not,
    assert_order_changes_nothing,
    assert_solved_from_either_end,
)

TRAINS = [*GEARS, *CLOCKS, *LATHES]


@pytest.mark.parametrize("train", TRAINS)
def test_the_solver_finds_every_shaft_from_the_first_and_from_the_last(train: Train) -> None:
    assert_solved_from_either_end(train)


@pytest.mark.parametrize("train", TRAINS)
def test_gears_in_a_save_turn_as_published_from_the_first_and_from_the_last(train: Train) -> None:
    assert_built_from_either_end(train)


@pytest.mark.parametrize("train", TRAINS)
def test_the_order_of_shafts_and_gears_changes_nothing(train: Train) -> None:
    assert_order_changes_nothing(train)


@pytest.mark.parametrize("train", TRAINS)
def test_one_idler_reverses_what_it_drives_and_two_change_nothing(train: Train) -> None:
    assert_one_idler_reverses_and_two_do_not(train)
