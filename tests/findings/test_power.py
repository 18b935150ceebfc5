"""What machines and movers have, or lack, in each other: headroom, drives and loads."""

from __future__ import annotations

from fractions import Fraction

import pytest

from analyzer.base.policy import Level, Policy
from analyzer.catalogue.catalogue import Warnings
from tests.findings.judged import SHAFTED, judge_by, row
from tests.support.mechanism import SHAFT, at, machine, mover

thin = judge_by("thin-headroom")
undriven = judge_by("undriven-machines")
alone = judge_by("driving-nothing")

# --- thin-headroom: a mover of torque 100 at 1 rpm gives 100 hands.


@pytest.mark.parametrize(
    ("asked", "left"), [(0, []), (89, []), (90, []), (91, [9]), (100, [0]), (101, [])]
)
def test_headroom_of_a_tenth_is_enough_and_less_is_thin(asked: int, left: list[int]) -> None:
    found = thin(*row(mover(1, 100), machine(asked)))
    assert [(one.measured, one.limit, one.unit) for one in found] == [
        (Fraction(power), Fraction(10), "hands") for power in left
    ]


def test_a_hair_below_the_share_is_thin() -> None:
    assert thin(*row(mover(1, 100), machine(Fraction(90)))) == ()
    assert thin(*row(mover(1, 100), machine(90 + Fraction(1, 10**9)))) != ()


def test_the_catalogue_of_the_movers_sets_the_share() -> None:
    lax, strict = Warnings(Fraction(0)), Warnings(Fraction(1, 2))
    line = row(mover(1, 100), machine(60, strict=True))
    assert thin(*line, warnings=[lax, strict]) == ()
    assert [one.limit for one in thin(*line, warnings=[strict, lax])] == [50]


def test_of_two_catalogues_of_movers_the_greater_share_counts() -> None:
    line = row(mover(1, 50), mover(1, 50, strict=True), machine(60))
    shares = [Warnings(Fraction(1, 4)), Warnings(Fraction(1, 2))]
    assert [one.limit for one in thin(*line, warnings=shares)] == [50]
    assert [one.limit for one in thin(*line, warnings=shares[::-1])] == [50]


def test_the_users_share_stands_in_place_of_the_catalogues() -> None:
    line = row(mover(1, 100), machine(60))
    assert thin(*line, policy=Policy(thin_headroom=Fraction(2, 5))) == ()
    (found,) = thin(*line, policy=Policy(thin_headroom=Fraction(1, 2)))
    assert (found.measured, found.limit) == (40, 50)
    full = row(mover(1, 100), machine(100))
    assert thin(*full, policy=Policy(thin_headroom=Fraction(0))) == ()


def test_thin_headroom_names_the_most_demanding_machines_first() -> None:
    (found,) = thin(*row(mover(1, 100), machine(30), machine(40), machine(30)))
    assert (found.at, found.also, found.count) == (at(2)[0], at(1, 3), 3)
    assert (found.level, found.certain) == (Level.WARNING, "yes")


def test_thin_headroom_in_a_cut_network_is_a_note_as_far_as_read() -> None:
    (found,) = thin(*row(mover(1, 100), machine(100)), cut=[0])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")


# --- undriven-machines


def test_machines_without_a_mover_are_one_finding_a_network() -> None:
    parts = [SHAFT, machine(), machine(), machine(), mover(1, 100), machine()]
    couplings = [(0, 1, SHAFTED), (1, 2, SHAFTED), (4, 5, SHAFTED)]
    first, second = undriven(parts, couplings)
    assert (first.at, first.also, first.count) == (at(1)[0], at(2), 2)
    assert (second.at, second.count) == (at(3)[0], 1)
    assert (first.level, first.certain) == (Level.WARNING, "yes")


def test_machines_with_a_mover_rated_0_are_undriven() -> None:
    assert len(undriven(*row(mover(0), machine()))) == 1


def test_a_network_that_contradicts_itself_is_not_undriven() -> None:
    assert undriven([machine()] * 2, [(0, 1, SHAFTED), (0, 1, Fraction(2))]) == ()


def test_undriven_machines_in_a_cut_network_are_a_note_as_far_as_read() -> None:
    (found,) = undriven(*row(SHAFT, machine()), cut=[0])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")


# --- driving-nothing


def test_movers_without_a_machine_are_one_finding_a_network() -> None:
    (found,) = alone(*row(mover(8), SHAFT, mover(8), mover(0)))
    assert (found.at, found.also, found.count) == (at(0)[0], at(2), 2)
    assert (found.level, found.certain) == (Level.NOTE, "yes")


def test_a_machine_that_asks_for_nothing_is_driven_all_the_same() -> None:
    assert alone(*row(mover(8), machine(0))) == ()


def test_movers_that_lock_each_other_or_stand_still_drive_nothing_worth_telling() -> None:
    assert alone(*row(mover(8), mover(-8))) == ()
    assert alone(*row(mover(0), SHAFT)) == ()


def test_a_mover_without_a_machine_in_a_cut_network_drives_nothing_as_far_as_read() -> None:
    (found,) = alone(*row(mover(8), SHAFT), cut=[1])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")


def test_without_a_machine_the_users_level_holds_only_in_a_whole_network() -> None:
    policy = Policy(levels={"driving-nothing": Level.ERROR})
    assert [one.level for one in alone([mover(8)], policy=policy)] == [Level.ERROR]
    assert [one.level for one in alone([mover(8)], policy=policy, cut=[0])] == [Level.NOTE]
