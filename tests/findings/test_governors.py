"""Governors that contradict each other, themselves, or a mover."""

from __future__ import annotations

from fractions import Fraction

from analyzer.base.policy import Level
from tests.findings.judged import SHAFTED, judge_by
from tests.support.mechanism import SHAFT, at, governor, machine, mover

clash = judge_by("governor-conflict")
movers = judge_by("mover-conflict")
HALF = Fraction(1, 2)


def test_two_governors_of_one_zone_are_shown_with_the_path_between_their_ports() -> None:
    parts = [mover(8), governor(16), SHAFT, SHAFT, governor(24), mover(8)]
    couplings = [(0, 1, SHAFTED), (2, 3, HALF), (4, 5, SHAFTED)]
    (found,) = clash(parts, couplings, governed=[(1, 2, SHAFTED), (4, 3, SHAFTED)])
    assert found.witness is not None
    assert (found.witness.kind, found.witness.parts) == ("path", at(1, 2, 3, 4))
    assert (found.witness.ratios, found.witness.governed) == ((1, HALF, 1), (0, 2))
    assert (found.measured, found.limit, found.unit) == (8, 24, "rpm")
    assert (found.at, found.also, found.count) == (at(1)[0], at(4), 1)
    assert (found.level, found.certain) == (Level.ERROR, "yes")


def test_a_path_through_a_governed_port_turns_by_its_ratio() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24), mover(8)]
    couplings = [(0, 1, SHAFTED), (3, 4, SHAFTED)]
    (found,) = clash(parts, couplings, governed=[(1, 2, Fraction(-3)), (3, 2, HALF)])
    assert found.witness is not None
    assert found.witness.ratios == (-3, 2)
    assert (found.measured, found.limit) == (-96, 24)


def test_two_governors_that_agree_are_no_conflict() -> None:
    parts = [mover(8), governor(16), SHAFT, SHAFT, governor(8), mover(8)]
    couplings = [(0, 1, SHAFTED), (2, 3, HALF), (4, 5, SHAFTED)]
    assert clash(parts, couplings, governed=[(1, 2, SHAFTED), (4, 3, SHAFTED)]) == ()


def test_a_governor_within_its_own_zone_is_shown_with_the_loop_from_its_port_to_it() -> None:
    parts = [mover(8), governor(5), SHAFT, machine()]
    couplings = [(0, 1, SHAFTED), (1, 2, Fraction(2)), (2, 3, SHAFTED)]
    (found,) = clash(parts, couplings, governed=[(1, 3, SHAFTED)])
    assert found.witness is not None
    assert (found.witness.kind, found.witness.parts) == ("loop", at(1, 3, 2))
    assert (found.witness.ratios, found.witness.governed) == ((1, 1, HALF), (0,))
    assert (found.measured, found.limit, found.unit) == (None, None, "")
    assert clash([mover(8), governor(16), *parts[2:]], couplings, governed=[(1, 3, SHAFTED)]) == ()


def test_governors_that_hold_at_rest_what_would_turn_them_conflict() -> None:
    # The mover's zone drives a zone, which stops the zone of the mover.
    parts = [mover(8), governor(4), SHAFT, governor(0)]
    couplings = [(0, 1, SHAFTED), (2, 3, SHAFTED)]
    (found,) = clash(parts, couplings, governed=[(1, 2, SHAFTED), (3, 0, SHAFTED)])
    assert found.witness is not None
    assert (found.witness.kind, found.witness.parts) == ("loop", at(1, 2, 3, 0))
    assert found.witness.governed == (0, 2)


def test_one_network_has_one_finding_that_counts_its_contradictions() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24), governor(3), SHAFT, governor(4)]
    couplings = [(0, 1, SHAFTED), (1, 3, SHAFTED), (3, 4, SHAFTED), (4, 6, SHAFTED)]
    governed = [(1, 2, SHAFTED), (3, 2, SHAFTED), (4, 5, SHAFTED), (6, 5, SHAFTED)]
    (found,) = clash(parts, couplings, governed=governed)
    assert found.count == 2


def test_governors_that_follow_are_compared_by_magnitude() -> None:
    def between(one: int, other: int, sense: int) -> list[tuple[object, object]]:
        parts = [mover(8), governor(one, follows=True), SHAFT, governor(other, follows=True)]
        couplings = [(0, 1, SHAFTED), (0, 3, Fraction(sense))]
        found = clash(parts, couplings, governed=[(1, 2, SHAFTED), (3, 2, SHAFTED)])
        return [(one.measured, one.limit) for one in found]

    assert between(16, -16, 1) == []
    assert between(16, -24, 1) == [(16, 24)]
    assert between(16, 16, -1) == [(None, None)]


def test_a_governor_conflict_stands_in_a_cut_network() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24)]
    couplings = [(0, 1, SHAFTED), (0, 3, SHAFTED)]
    (found,) = clash(parts, couplings, governed=[(1, 2, SHAFTED), (3, 2, SHAFTED)], cut=[0])
    assert (found.level, found.certain) == (Level.ERROR, "yes")


def test_without_a_mover_governors_contradict_nothing() -> None:
    parts = [SHAFT, governor(16), SHAFT, governor(24)]
    couplings = [(0, 1, SHAFTED), (0, 3, SHAFTED)]
    assert clash(parts, couplings, governed=[(1, 2, SHAFTED), (3, 2, SHAFTED)]) == ()


# --- mover-conflict


def test_a_mover_against_a_governor_is_shown_with_the_path_from_its_port() -> None:
    parts = [mover(8), governor(16), SHAFT, mover(-4)]
    couplings = [(0, 1, SHAFTED), (2, 3, HALF)]
    (found,) = movers(parts, couplings, governed=[(1, 2, SHAFTED)])
    assert found.witness is not None
    assert found.witness.parts == at(1, 2, 3)
    assert (found.measured, found.limit, found.names) == (8, -4, (("governor", 1),))
    assert (found.at, found.also, found.count) == (at(1)[0], at(3), 1)


def test_a_mover_against_a_governor_that_follows_is_told_its_own_sense() -> None:
    parts = [mover(-8), governor(16, follows=True), SHAFT, mover(4)]
    (found,) = movers(parts, [(0, 1, SHAFTED), (2, 3, HALF)], governed=[(1, 2, SHAFTED)])
    assert (found.measured, found.limit) == (-8, 4)


def test_a_mover_with_the_sense_that_a_governor_sets_is_dragged_and_no_conflict() -> None:
    parts = [mover(8), governor(16), SHAFT, mover(4)]
    assert movers(parts, [(0, 1, SHAFTED), (2, 3, HALF)], governed=[(1, 2, SHAFTED)]) == ()
