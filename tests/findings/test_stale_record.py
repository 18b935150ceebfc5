"""Recorded speeds that are not the solved ones, and the mismatch that is said in their stead."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from analyzer.base.policy import Level, Policy
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.parts.parts import Records
from analyzer.solution.solution import State
from tests.findings.judged import row
from tests.support.mechanism import SHAFT, at, audit_of, machine, mechanism, mover

INT, FLOAT, DOUBLE = 3, 5, 6


def recorded(case: Case, rpm, *, tag: int = DOUBLE, unit: Fraction | int = 1) -> Case:
    """Give parts recorded speeds; None records nothing."""
    rows = [part for part, speed in enumerate(rpm) if speed is not None]
    first = len(case.parts.numbers)
    stored = [Fraction(rpm[part]) / unit for part in rows]
    records = Records(
        part=np.array(rows, np.int32),
        stored=np.arange(first, first + len(rows), dtype=np.int32),
        unit=np.full(len(rows), first + len(rows), np.int32),
        tag=np.full(len(rows), tag, np.int8),
    )
    numbers = (*case.parts.numbers, *stored, Fraction(unit))
    return replace(case, parts=replace(case.parts, numbers=numbers, recorded=records))


def stale(case: Case, rpm, **more) -> tuple[Finding, ...]:
    found = audit_of(recorded(case, rpm, **more)).findings.items
    return tuple(finding for finding in found if finding.rule in RULES)


RULES = ("stale-record", "catalogue-mismatch")
LINE = row(mover(8), SHAFT, SHAFT)


def test_records_of_the_solved_speeds_are_no_finding() -> None:
    assert stale(mechanism(*LINE), [8, 8, None]) == ()


def test_a_network_has_one_finding_with_the_record_furthest_off() -> None:
    (found,) = stale(mechanism(*LINE), [8, 6, -8])
    assert (found.rule, found.level, found.certain) == ("stale-record", Level.WARNING, "yes")
    assert (found.count, found.at, found.also) == (2, at(2)[0], at(1))
    assert (found.measured, found.limit, found.unit) == (-8, 8, "rpm")


@pytest.mark.parametrize(
    ("rpm", "tag", "findings"),
    [
        ("15/2", INT, 0),
        ("8", INT, 0),
        ("9", INT, 1),
        ("7", INT, 1),
        (str(Fraction(float(np.nextafter(8.0, 9.0)))), DOUBLE, 0),
        (str(Fraction(8) + 2 * Fraction(1, 2**49)), DOUBLE, 0),
        (str(Fraction(8) + 3 * Fraction(1, 2**49)), DOUBLE, 1),
        (str(Fraction(8) + 2 * Fraction(1, 2**20)), FLOAT, 0),
        (str(Fraction(8) + 3 * Fraction(1, 2**20)), FLOAT, 1),
    ],
)
def test_a_record_may_be_off_by_the_width_at_which_it_is_stored(
    rpm: str, tag: int, findings: int
) -> None:
    assert len(stale(mechanism(*LINE), [rpm, None, None], tag=tag)) == findings


def test_a_whole_number_may_stand_for_a_half_more_or_less() -> None:
    doubled = mechanism([mover(8), SHAFT], [(0, 1, Fraction(15, 16))])
    assert stale(doubled, [8, 8], tag=INT) == ()
    assert stale(doubled, [8, 7], tag=INT) == ()
    assert len(stale(doubled, [8, 6], tag=INT)) == 1


def test_a_turning_network_recorded_at_rest_is_stale() -> None:
    (found,) = stale(mechanism(*LINE), [0, 0, 0])
    assert (found.count, found.measured, found.limit) == (3, 0, 8)


@pytest.mark.parametrize(("rpm", "findings"), [(0, 0), (8, 1)])
def test_an_idle_network_is_to_be_recorded_at_rest(rpm: int, findings: int) -> None:
    found = stale(mechanism(*row(SHAFT, SHAFT)), [rpm, rpm])
    assert [(one.measured, one.limit) for one in found] == [(8, 0)] * findings


@pytest.mark.parametrize(("rpm", "findings"), [(0, 0), (8, 0), (4, 1)])
def test_an_overloaded_network_may_be_recorded_at_rest_or_as_it_would_turn(
    rpm: int, findings: int
) -> None:
    case = mechanism(*row(mover(8), machine(40)))
    assert case.solution.state[0] == State.OVERLOADED
    assert len(stale(case, [rpm, rpm])) == findings


@pytest.mark.parametrize(("rpm", "findings"), [(0, 0), (8, 1)])
def test_a_conflicting_network_is_to_be_recorded_at_rest(rpm: int, findings: int) -> None:
    assert len(stale(mechanism(*row(mover(8), mover(-8))), [rpm, rpm])) == findings


def test_a_stale_record_in_a_cut_network_is_a_note() -> None:
    (found,) = stale(mechanism(*LINE, cut=[2]), [8, 8, 4])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")


def test_zones_out_of_range_are_not_judged() -> None:
    parts = [mover(8), *[SHAFT] * 257]
    case = mechanism(parts, [(i, i + 1, Fraction(2)) for i in range(257)])
    assert stale(case, [3, *[None] * 257]) == ()


def test_networks_not_asked_about_are_not_judged() -> None:
    case = mechanism([mover(8), mover(8)], selected=[1])
    assert [one.network for one in stale(case, [4, 4])] == [1]


def test_nothing_is_stale_where_movers_are_only_assumed_to_be_active() -> None:
    assert stale(mechanism(*LINE, policy=Policy(assume_active=True)), [4, 4, 4]) == ()


def test_a_mismatch_stands_in_place_of_the_stale_records_that_it_explains() -> None:
    # Twenty lines whose second part turns at 6 rpm instead of 8, and a lone mover that is stale.
    parts = [part for _ in range(20) for part in (mover(8), machine(1))] + [mover(3)]
    case = mechanism(parts, [(2 * i, 2 * i + 1, Fraction(1)) for i in range(20)])
    kinds = replace(case, couplings=replace(case.couplings, kind=case.couplings.kind * 0))
    found = stale(kinds, [8, 6] * 20 + [4])
    assert [one.rule for one in found] == ["catalogue-mismatch"]
    (mismatch,) = found
    assert (mismatch.count, mismatch.level, mismatch.network) == (20, Level.WARNING, None)
    assert mismatch.names == (("sketch:machine", 20), ("sketch:mover", 20))


def test_nineteen_pairs_are_stale_records_and_no_mismatch() -> None:
    parts = [part for _ in range(19) for part in (mover(8), machine(1))]
    case = mechanism(parts, [(2 * i, 2 * i + 1, Fraction(1)) for i in range(19)])
    kinds = replace(case, couplings=replace(case.couplings, kind=case.couplings.kind * 0))
    found = stale(kinds, [8, 6] * 19)
    assert [one.rule for one in found] == ["stale-record"] * 19
