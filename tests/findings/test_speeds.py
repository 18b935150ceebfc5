"""Machines that are too slow, and movers that do not turn as they are rated."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.base.policy import Level
from tests.findings.judged import SHAFTED, judge_by, row
from tests.support.mechanism import SHAFT, at, governor, machine, mover

slow = judge_by("too-slow")
unequal = judge_by("unequal-movers")

# --- too-slow


@pytest.mark.parametrize(
    ("rpm", "found"),
    [
        (Fraction(399, 100), 1),
        (Fraction(-399, 100), 1),
        (Fraction(4), 0),
        (Fraction(-4), 0),
        (Fraction(401, 100), 0),
    ],
)
def test_a_machine_may_turn_at_its_least_speed_and_not_below(rpm: Fraction, found: int) -> None:
    assert [
        (one.measured, one.limit, one.unit) for one in slow(*row(mover(rpm), machine(least=4)))
    ] == [(abs(rpm), Fraction(4), "rpm")] * found


def test_the_machine_that_gets_the_least_share_comes_first() -> None:
    (found,) = slow(*row(mover(2), machine(least=4), machine(least=8), machine(least=1)))
    assert (found.at, found.also, found.count) == (at(2)[0], at(1), 2)
    assert (found.measured, found.limit) == (2, 8)
    assert (found.level, found.certain) == (Level.WARNING, "yes")


def test_in_an_overloaded_network_it_is_judged_on_what_would_be() -> None:
    assert len(slow(*row(mover(2), machine(1000, least=4)))) == 1
    assert slow(*row(mover(4), machine(1000, least=4))) == ()


def test_a_machine_in_a_zone_at_rest_is_too_slow() -> None:
    # The governor holds the machine's zone.
    parts = [mover(8), governor(0), machine(least=1)]
    (found,) = slow(parts, [(0, 1, SHAFTED)], governed=[(1, 2, SHAFTED)])
    assert (found.measured, found.at) == (0, at(2)[0])


def test_machines_of_idle_and_conflicting_networks_are_not_judged_by_their_speed() -> None:
    assert slow(*row(SHAFT, machine(least=4))) == ()
    assert slow(*row(mover(8), mover(-8), machine(least=4))) == ()


def test_a_least_speed_of_0_asks_for_nothing() -> None:
    parts = [mover(8), governor(0), machine(least=0)]
    assert slow(parts, [(0, 1, SHAFTED)], governed=[(1, 2, SHAFTED)]) == ()


def test_too_slow_in_a_cut_network_is_a_note_as_far_as_read() -> None:
    (found,) = slow(*row(mover(2), machine(least=4)), cut=[0])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")


# --- unequal-movers


def test_a_slower_mover_is_dragged_along() -> None:
    (found,) = unequal(*row(mover(8), mover(4), mover(8), machine()))
    assert (found.at, found.also, found.count) == (at(1)[0], (), 1)
    assert (found.measured, found.limit, found.unit) == (8, 4, "rpm")
    assert (found.level, found.certain) == (Level.NOTE, "yes")


def test_the_mover_farthest_from_its_rating_comes_first() -> None:
    (found,) = unequal(*row(mover(8), mover(6), mover(2), machine()))
    assert (found.at, found.also) == (at(2)[0], at(1))


def test_movers_that_a_mesh_makes_equal_are_not_dragged() -> None:
    assert unequal([mover(8), mover(-16)], [(0, 1, Fraction(-2))]) == ()


def test_a_governor_drags_movers_to_its_speed_but_to_no_stop() -> None:
    def driven(set_rpm: int) -> list[Fraction | None]:
        parts = [mover(8), governor(set_rpm), mover(4), machine()]
        found = unequal(parts, [(0, 1, SHAFTED), (2, 3, SHAFTED)], governed=[(1, 2, SHAFTED)])
        return [one.measured for one in found]

    assert driven(2) == [2]
    assert driven(4) == []
    assert driven(0) == []


def test_in_an_overloaded_network_no_mover_is_dragged() -> None:
    assert unequal(*row(mover(8), mover(4), machine(1000))) == ()


def test_unequal_movers_in_a_cut_network_hold_as_far_as_read() -> None:
    (found,) = unequal(*row(mover(8), mover(4), machine()), cut=[0])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")
