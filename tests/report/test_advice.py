"""Advice as text and as JSON, held against the schema."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from analyzer.advice.advice import Advice
from analyzer.advice.advise import advise_audit
from analyzer.pipeline.advise import try_changes
from analyzer.pipeline.audit import audit_save
from analyzer.report.advice_json import iter_advice_json, iter_trial_json
from analyzer.report.advice_text import iter_advice_text, iter_trial_text
from tests.advice.builds import audit_with_gears
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, mechanism, mover
from tests.support.saves import save_of
from tests.support.schemas import check_document
from tests.support.sketch import sketch

ONE = Fraction(1)


def advised(text: str) -> Any:
    return check_document(text, "advice")


def test_the_remedies_of_the_demo_keep_to_the_schema_and_to_80_columns() -> None:
    audit = demo_audit()
    advice = advise_audit(audit)
    document = advised("".join(iter_advice_json(audit, advice)))
    assert document["trial"] is None
    assert {one["rule"] for one in document["findings"]} == {
        "governor-conflict",
        "loop-conflict",
        "mover-conflict",
        "over-speed",
        "overload",
        "too-slow",
    }
    assert all(one["remedies"] for one in document["findings"])
    text = "".join(iter_advice_text(audit, advice))
    assert max(map(len, text.splitlines())) <= 80
    assert "put 1 more quayworks:tide_wheel on the shaft of the one at 3 64 24" in text


def test_every_remedy_of_the_demo_is_the_cheapest_first_and_mends() -> None:
    audit = demo_audit()
    advice = advise_audit(audit)
    for finding in audit.findings.items:
        remedies = advice.remedies.get(finding.fingerprint, ())
        assert [one.cost for one in remedies] == sorted(one.cost for one in remedies)
        for remedy in remedies:
            after = {one.fingerprint for one in remedy.trial.audits[1].findings.items}
            assert finding.fingerprint not in after


def test_every_change_keeps_to_the_schema_and_to_80_columns(tmp_path: Path) -> None:
    save = save_of(
        tmp_path, sketch("sluice:e clutch:x,lever=out layer:e shaft:x tread:w,walkers=1")
    )
    audit = audit_save(save, catalogues=["quayworks"])
    changes = [
        "store 2 64 2 rated_rpm=5/2",
        "set 3 64 2 lever=in",
        "cut 4 64 2 5 64 2",
        "remove 5 64 2",
        "stop 6 64 2",
        "start 6 64 2",
        "flip 6 64 2",
        "alongside 6 64 2 3",
        "put 5 64 3 quayworks:sluice_wheel[facing=east]{rated_rpm=8}",
    ]
    changes[2:4] = changes[2:3]
    trial = try_changes(audit, changes)
    document = advised("".join(iter_trial_json(audit, trial)))
    assert document["findings"] == []
    verbs = [one["do"] for one in document["trial"]["edits"]]
    assert verbs == ["store", "set", "cut", "stop", "start", "flip", "alongside", "put"]
    text = "".join(iter_trial_text(audit, trial))
    assert max(map(len, text.splitlines())) <= 80
    assert "set rated_rpm of quayworks:sluice_wheel at 2 64 2 to 2.5" in text


def test_nothing_to_mend_is_said() -> None:
    audit = audit_of(mechanism([mover(8), SHAFT], [(0, 1, ONE)]))
    text = "".join(iter_advice_text(audit, advise_audit(audit)))
    assert "There is nothing to mend" in text
    assert advised("".join(iter_advice_json(audit, Advice())))["findings"] == []


def test_a_pair_of_gears_in_a_loop_is_told_with_its_teeth() -> None:
    audit = audit_with_gears(
        mechanism([mover(8), SHAFT, SHAFT], [(0, 1, ONE), (1, 2, ONE), (0, 2, Fraction(-2))])
    )
    advice = advise_audit(audit)
    ((*remedies,),) = advice.remedies.values()
    text = "".join(iter_advice_text(audit, advice))
    assert "change-speed" in {one.kind for one in remedies}
    assert "put a pair of gears between" in text
    document = advised("".join(iter_advice_json(audit, advice)))
    edits = [
        edit
        for one in document["findings"][0]["remedies"]
        for edit in one["edits"]
        if edit["do"] == "gear"
    ]
    assert [edit["factor"] for edit in edits] == [-2]
