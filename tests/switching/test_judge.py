"""Brute force over all states of small halls, solved and judged as saves are, as the judge."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache

import numpy as np
import pytest

from analyzer.findings.findings import Finding
from analyzer.switching.bounds import find_bounds, find_reach
from analyzer.switching.explore import explore_switches
from analyzer.switching.gather import Scope, Survey, survey_states
from analyzer.switching.gathered import WHOLE, Peak
from analyzer.switching.subject import State, Subject, find_subjects
from tests.switching.halls import Throws, Yard, random_yard

YARDS = 8
HALLS = 250
Key = tuple[str, str, int]
#: A greatest amount, and the fewest throws to it.
Most = tuple[Fraction, Throws]


@dataclass
class Judged:
    """What brute force found of one subject."""

    least: dict[Key, Throws] = field(default_factory=dict)
    lengths: dict[Key, int] = field(default_factory=dict)
    demand: Most | None = None
    speed: Most | None = None
    capacity: Fraction = Fraction(0)


@cache
def yard(number: int) -> Yard:
    return random_yard(number, HALLS, most_levers=3 + number % 3)


@cache
def subjects(number: int) -> tuple[Subject, ...]:
    return find_subjects(yard(number).audit).subjects


@cache
def judged(number: int, most_throws: int = 99) -> list[Judged]:
    """Return what all states with so many throws hold, by subject."""
    drawn = yard(number)
    subject_of = np.full(len(drawn.hall_of), -1)
    for place, subject in enumerate(subjects(number)):
        subject_of[subject.parts.xyz[:, 0]] = place
    found = [Judged() for _ in subjects(number)]
    for audit, throws in drawn.rounds:
        by_network: dict[int, list[Finding]] = {}
        for finding in audit.findings.items:
            by_network.setdefault(finding.network, []).append(finding)
        for network, anchor in enumerate(audit.networks.anchor.tolist()):
            own = throws[drawn.hall_of[anchor]]
            if subject_of[anchor] < 0 or len(own) > most_throws:
                continue
            one = found[subject_of[anchor]]
            members = audit.networks.members(network)
            movers = members[audit.solution.active[members]]
            for finding in by_network.get(network, ()):
                _hold(one, finding, own, np.unique(drawn.audit.networks.network[movers]).tolist())
            one.capacity = max(one.capacity, audit.solution.capacity_power(network))
            if len(movers):
                rpm = [audit.solution.speed_rpm(int(part)) for part in members]
                speeds = [abs(speed) for speed in rpm if speed is not None]
                one.speed = _more(one.speed, max(speeds, default=None), own)
                one.demand = _more(one.demand, audit.solution.demand_power(network), own)
    return found


def _hold(one: Judged, finding: Finding, throws: Throws, saved: list[int]) -> None:
    keys: list[Key] = [(finding.rule, finding.fingerprint, -1)]
    if finding.rule in WHOLE:
        keys = [(finding.rule, "", number) for number in saved]
    for key in keys:
        known = one.least.get(key)
        if known is None or _order(throws) < _order(known):
            one.least[key] = throws
        one.lengths[key] = 0 if finding.witness is None else len(finding.witness.parts)


def _more(known: Most | None, amount: Fraction | None, throws: Throws) -> Most | None:
    if amount is None:
        return known
    if known is None or (-amount, _order(throws)) < (-known[0], _order(known[1])):
        return amount, throws
    return known


@pytest.mark.parametrize("number", range(YARDS))
def test_all_states_by_brute_force_hold_the_same_findings_in_the_same_least_throws(number):
    told = Counter()
    for apart in (True, False) if number < 2 else (True,):
        for subject, wanted in zip(subjects(number), judged(number), strict=True):
            survey = survey_states(subject, 10_000, apart=apart)
            assert survey.extent == "all"
            found = _least(subject, survey)
            ties = _ties(found, wanted, survey)
            assert {key: one for key, one in found.items() if key not in ties} == {
                key: one for key, one in wanted.least.items() if key not in ties
            }
            assert _most(subject, survey.gathered.demand) == wanted.demand
            assert _most(subject, survey.gathered.speed) == wanted.speed
            told.update(keys=len(found), pieces=survey.pieces, ties=len(ties))
    assert told["keys"] > HALLS
    assert told["pieces"] > HALLS / 2
    assert told["ties"] < told["keys"] / 50


@pytest.mark.parametrize("number", range(YARDS))
def test_no_state_exceeds_the_bounds(number):
    bounded = 0
    for subject, wanted in zip(subjects(number), judged(number), strict=True):
        bound = find_bounds(subject, find_reach(subject))
        assert bound.capacity >= wanted.capacity
        if bound.demand is not None:
            bounded += 1
            assert bound.demand >= (wanted.demand or (0,))[0]
            assert bound.speed >= (wanted.speed or (0,))[0]
    assert bounded > HALLS / 2


@pytest.mark.parametrize("apart", [True, False])
@pytest.mark.parametrize(("extent", "throws"), [("singles", 1), ("doubles", 2)])
def test_states_within_one_or_two_throws_are_exact_where_not_all_are_looked_at(
    extent, throws, apart
):
    seen = 0
    for number in range(2):
        near = judged(number, throws)
        for subject, wanted, every in zip(subjects(number), near, judged(number), strict=True):
            scope = Scope(extent, throws)
            survey = survey_states(subject, 10_000, apart=apart, scopes=[scope])
            assert survey.extent == extent
            assert survey.bound is not None
            seen += len(subject.levers) > throws
            found = _least(subject, survey)
            ties = _ties(found, wanted, survey) | _ties(found, every, survey)
            close = {key: one for key, one in found.items() if len(one) <= throws}
            assert {key: one for key, one in close.items() if key not in ties} == {
                key: one for key, one in wanted.least.items() if key not in ties
            }
            # What was found beyond holds as well, if perhaps not in its least state.
            for key in found.keys() - close.keys() - ties:
                assert _order(every.least[key]) <= _order(found[key])
            demand = _most(subject, survey.gathered.demand)
            if not apart:
                assert demand == wanted.demand
            elif demand is not None:
                assert (wanted.demand or (0,))[0] <= demand[0] <= every.demand[0]
    assert seen > HALLS / 2


@pytest.mark.parametrize("number", range(2))
def test_every_finding_told_holds_in_the_state_named_and_not_as_the_save_is(number):
    drawn, told = yard(number), 0
    by_throws: dict[tuple[int, Throws], set[tuple]] = {}
    for audit, throws in drawn.rounds:
        for finding in audit.findings.items:
            hall = drawn.hall_of[finding.at.x]
            by_throws.setdefault((hall, throws[hall]), set()).add(_content(finding))
    saved = {one.fingerprint for one in drawn.audit.findings.items}
    for assembly in explore_switches(drawn.audit).assemblies:
        for finding in assembly.found:
            throws = tuple((one.at.x, one.property, one.value) for one in finding.throws)
            assert throws
            assert _content(finding) in by_throws[drawn.hall_of[finding.at.x], throws]
            assert finding.certain == "in another switch state"
            assert finding.fingerprint not in saved
            told += 1
        names = [one.fingerprint for one in assembly.found]
        assert len(names) == len(set(names))
    assert told > HALLS / 2


def _content(finding: Finding) -> tuple:
    return (
        finding.rule,
        finding.level,
        finding.at,
        finding.also,
        finding.count,
        finding.measured,
        finding.limit,
        finding.witness,
    )


def _ties(found: dict[Key, Throws], wanted: Judged, survey: Survey) -> set[Key]:
    """Return contradictions told by another of several chains that are just as short.

    Which one is told can depend on where the search begins, and so on what else is joined.
    """
    here = {**wanted.least, **found}
    lengths = {**wanted.lengths, **{key: one[1] for key, one in survey.gathered.states.items()}}
    odd = [key for key in here if (key in found) is not (key in wanted.least)]
    return {
        key
        for key in odd
        if key[0] not in WHOLE
        and any(
            other != key
            and other[0] == key[0]
            and lengths[other] == lengths[key]
            and len(here[other]) <= len(here[key])
            for other in here
        )
    }


def _least(subject: Subject, survey: Survey) -> dict[Key, Throws]:
    return {key: _throws(subject, state) for key, (state, _) in survey.gathered.states.items()}


def _most(subject: Subject, peak: Peak | None) -> Most | None:
    return None if peak is None else (peak.amount, _throws(subject, peak.state))


def _throws(subject: Subject, state: State) -> Throws:
    return tuple((one.at.x, one.property, one.value) for one in subject.throws(state))


def _order(throws: Throws) -> tuple[int, Throws]:
    return len(throws), throws
