"""What a page carries of changes, held against what they do."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import jsonschema
import pytest

from analyzer.advice.advice import Gearing, Remove, Trial
from analyzer.advice.spare.spare import Spare
from analyzer.pipeline.advise import advise_save, spend_save, try_changes
from analyzer.report.page.audit_page import iter_advice_page, iter_audit_page, iter_trial_page
from analyzer.report.page.change_data import MOST_PARTS
from tests.report.page.carried import data_of
from tests.report.page.test_columns import read
from tests.report.page.test_page_data import SCHEMA, exact
from tests.support.demo import demo_audit


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    audit = demo_audit()
    return data_of("".join(iter_advice_page(audit, advise_save(audit), spend_save(audit))))


def trial_data(*changes: str) -> tuple[dict[str, Any], Trial]:
    trial = try_changes(demo_audit(), changes)
    return data_of("".join(iter_trial_page(demo_audit(), trial))), trial


def test_a_page_with_changes_keeps_to_its_schema(data: dict[str, Any]) -> None:
    jsonschema.Draft202012Validator(SCHEMA).validate(data)


def test_every_remedy_stands_with_its_finding(data: dict[str, Any]) -> None:
    audit = demo_audit()
    remedies = advise_save(audit).remedies
    expected = [
        number
        for number, finding in enumerate(audit.findings.items)
        for _ in remedies.get(finding.fingerprint, ())
    ]
    assert [one["finding"] for one in data["changes"] if one["finding"] >= 0] == expected
    assert len(expected) > 6


def test_spare_power_stands_with_no_finding_and_says_what_is_reached(data: dict[str, Any]) -> None:
    power = spend_save(demo_audit())
    spent = [one for one in power.networks if isinstance(one, Spare) and one.trial.edits]
    changes = [one for one in data["changes"] if one["finding"] < 0]
    assert len(changes) == len(spent) > 3
    for change, one in zip(changes, spent, strict=True):
        told = {data["texts"][term]: data["texts"][said] for term, said in change["told"]}
        assert told["spare power"] == f"network at {' '.join(map(str, one.network.anchor))}"
        assert set(read(change["parts"])) >= {
            demo_audit().parts.xyz.tolist().index(list(turn.spot.at)) for turn in one.turns
        }


def test_a_change_carries_the_speed_that_every_part_would_have(data: dict[str, Any]) -> None:
    audit = demo_audit()
    remedies = [
        remedy
        for finding in audit.findings.items
        for remedy in advise_save(audit).remedies.get(finding.fingerprint, ())
    ]
    geared = 0
    mending = [one for one in data["changes"] if one["finding"] >= 0]
    for change, remedy in zip(mending, remedies, strict=True):
        geared += any(isinstance(edit, Gearing) for edit in remedy.trial.edits)
        after, there = remedy.trial.audits[1], speeds(remedy.trial)
        assert len(there) == len(after.parts)
        for part, speed in zip(read(change["parts"]), read(change["speed"]), strict=True):
            place = tuple(audit.parts.xyz[part].tolist())
            carried = None if speed < 0 else exact(data["speeds"][speed])
            assert carried == there.get(place)
        shown = {tuple(audit.parts.xyz[part].tolist()) for part in read(change["parts"])}
        before = remedy.trial.audits[0]
        for part in range(len(before.parts)):
            place = tuple(before.parts.xyz[part].tolist())
            if place not in shown:
                assert before.solution.speed_rpm(part) == there[place]
    assert geared


def speeds(trial: Trial) -> dict[tuple[int, ...], Fraction | None]:
    after = trial.audits[1]
    return {
        tuple(after.parts.xyz[part].tolist()): after.solution.speed_rpm(part)
        for part in range(len(after.parts))
    }


def test_a_change_that_was_asked_for_is_the_only_one_and_says_what_becomes_of_budgets() -> None:
    data, trial = trial_data("remove 8 64 24")
    (change,) = data["changes"]
    assert change["finding"] == -1
    assert trial.edits == (Remove(trial.edits[0].spot),)
    ((text, mark, spots, factor),) = change["edits"]
    assert data["texts"][mark] == "take away"
    assert "8 64 24" in data["texts"][text]
    assert data["texts"][factor] == ""
    (part,) = spots
    assert demo_audit().parts.xyz[part].tolist() == [8, 64, 24]
    ((network, state, capacity, demand, headroom),) = change["budgets"]
    assert data["networks"]["anchor"][network] == [3, 64, 24]
    assert state == 0
    assert [data["powers"][one][0] for one in (capacity, demand, headroom)] == [256, 256, 0]
    gone = read(change["state"])[read(change["parts"]).index(part)]
    assert gone == -1


def test_a_page_of_an_audit_alone_proposes_nothing() -> None:
    assert data_of("".join(iter_audit_page(demo_audit())))["changes"] == []


def test_no_more_parts_of_a_change_are_carried_than_a_page_can_hold(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("analyzer.report.page.change_data.MOST_PARTS", 2)
    data, _ = trial_data("remove 3 64 24")
    (change,) = data["changes"]
    assert len(read(change["parts"])) == 2 < MOST_PARTS
    assert change["hidden"] == 4
