"""Audits in SARIF, held against the schema that OASIS publishes and against the audit."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import jsonschema
import pytest

from analyzer.base.place import Block, Chunk
from analyzer.base.policy import Level, Policy
from analyzer.findings.audit import Audit
from analyzer.findings.ignores import Ignore, Ignored
from analyzer.findings.registry import RULES
from analyzer.report.audit_sarif import FINGERPRINT, SCHEMA, iter_audit_sarif
from analyzer.report.baseline import Comparison, FormerFinding
from analyzer.report.rule_texts import rule_texts
from analyzer.report.sentences import message
from analyzer.save.scan.scan import Coverage, Fault
from tests.report.make_rule_texts import TARGET, rule_texts_toml
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, governor, mechanism, mover, scan_of

ONE = Fraction(1)
SARIF = Path(__file__).parents[1] / "support" / "sarif" / "sarif-schema-2.1.0.json"
RULES_OF_SCHEMA = json.loads(SARIF.read_text("utf-8"))
JUDGE = jsonschema.Draft4Validator(
    RULES_OF_SCHEMA, format_checker=jsonschema.Draft4Validator.FORMAT_CHECKER
)


def document(audit: Audit, comparison: Comparison | None = None) -> Any:
    text = "".join(iter_audit_sarif(audit, comparison=comparison))
    assert text.isascii()
    found = json.loads(text)
    JUDGE.validate(found)
    return found


def run(audit: Audit, comparison: Comparison | None = None) -> Any:
    (found,) = document(audit, comparison)["runs"]
    return found


def test_the_demo_audit_keeps_to_the_published_schema() -> None:
    found = document(demo_audit())
    assert found["version"] == "2.1.0"
    assert found["$schema"] == SCHEMA == RULES_OF_SCHEMA["id"]


def test_the_schema_would_refuse_another_document() -> None:
    with pytest.raises(jsonschema.ValidationError):
        JUDGE.validate({"version": "2.1.0"})


def test_an_empty_save_has_no_results() -> None:
    assert run(audit_of(mechanism([])))["results"] == []


def test_each_finding_is_a_result_with_its_level_place_and_fingerprint() -> None:
    audit = demo_audit()
    found = run(audit)
    for finding, result in zip(audit.findings.items, found["results"], strict=True):
        assert (result["ruleId"], result["level"]) == (finding.rule, str(finding.level))
        assert result["partialFingerprints"] == {FINGERPRINT: finding.fingerprint}
        rule = found["tool"]["driver"]["rules"][result["ruleIndex"]]
        assert rule["id"] == finding.rule
        assert result["message"]["text"] == message(audit, finding)
        if finding.at is not None:
            (location,) = result["locations"]
            assert location["properties"]["block"] == list(finding.at)
            (logical,) = location["logicalLocations"]
            x, y, z = finding.at
            assert logical["fullyQualifiedName"] == f"{finding.dimension}:{x},{y},{z}"
        further = [one["properties"] for one in result.get("relatedLocations", ())]
        if finding.at is None:
            assert len(further) == max(0, len(finding.also) - 1)
        else:
            assert [one["block"] for one in further] == [list(at) for at in finding.also]


def test_places_lead_to_the_region_file_in_the_save() -> None:
    result = next(one for one in run(demo_audit())["results"] if one["ruleId"] == "mover-conflict")
    where = result["locations"][0]["physicalLocation"]["artifactLocation"]
    assert where["uriBaseId"] == "SAVE"
    assert where["uri"].endswith("region/r.-1.-1.mca")


def test_a_loop_is_a_flow_that_comes_back_to_its_first_part() -> None:
    ring = [(0, 1, ONE), (1, 2, ONE), (0, 2, Fraction(3, 2))]
    (result,) = run(audit_of(mechanism([SHAFT] * 3, ring)))["results"]
    (flow,) = result["codeFlows"][0]["threadFlows"]
    places = [step["location"]["properties"]["block"][0] for step in flow["locations"]]
    assert places == [0, 1, 2, 0]
    assert "turns the next 2/3 times" in flow["locations"][2]["location"]["message"]["text"]


def test_a_path_through_governed_ports_says_so() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24)]
    case = mechanism(parts, [(0, 1, ONE), (0, 3, ONE)], governed=[(1, 2, ONE), (3, 2, ONE)])
    (result,) = run(audit_of(case))["results"]
    (flow,) = result["codeFlows"][0]["threadFlows"]
    texts = [step["location"]["message"]["text"] for step in flow["locations"]]
    assert len(texts) == 3
    assert "governed port" in texts[0]


def test_what_could_not_be_read_is_a_notification() -> None:
    faults = (
        Fault("", "level.dat", None, "bad-gzip-stream", "x"),
        Fault("a:b", "dim/a b/r.0.0.mca", Chunk(2, -1), "bad-zlib-stream", "x", 8192),
    )
    audit = audit_of(mechanism([], scan=scan_of(coverage=Coverage((), faults))))
    first, second = run(audit)["invocations"][0]["toolExecutionNotifications"]
    assert first["descriptor"]["id"] == "bad-gzip-stream"
    uri = second["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert (uri, unquote(uri)) == ("dim/a%20b/r.0.0.mca", "dim/a b/r.0.0.mca")
    assert second["properties"] == {"dimension": "a:b", "chunk": [2, -1], "offset": 8192}


def test_every_rule_is_described_by_the_texts_of_its_page() -> None:
    rules = run(audit_of(mechanism([])))["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == [rule.name for rule in RULES]
    for rule, described in zip(RULES, rules, strict=True):
        assert described["defaultConfiguration"] == {"level": str(rule.level)}
        assert described["help"]["text"].endswith(rule_texts()[rule.name].remedy)
        assert described["shortDescription"]["text"].endswith(".")


def test_the_texts_are_those_of_the_page_on_findings() -> None:
    assert TARGET.read_text("utf-8") == rule_texts_toml(), "python -m tests.report.make_rule_texts"


def test_what_the_user_decided_about_rules_is_told() -> None:
    policy = Policy(off=frozenset({"too-slow"}), levels={"overload": Level.NOTE})
    overrides = run(audit_of(mechanism([], policy=policy)))["invocations"][0][
        "ruleConfigurationOverrides"
    ]
    assert {one["descriptor"]["id"]: one["configuration"] for one in overrides} == {
        "overload": {"level": "note"},
        "too-slow": {"enabled": False},
    }


def test_accepted_findings_are_suppressed_with_the_reason() -> None:
    audit = audit_of(mechanism([mover(8), mover(-8)], [(0, 1, ONE)]))
    (finding,) = audit.findings.items
    ignored = Ignored(finding, Ignore("stands for {show}", until=date(2030, 1, 1)))
    audit = replace(audit, findings=replace(audit.findings, items=()), ignored=(ignored,))
    (result,) = run(audit)["results"]
    (suppression,) = result["suppressions"]
    assert (suppression["status"], suppression["justification"]) == (
        "accepted",
        "stands for {show}",
    )


def test_against_a_baseline_each_result_is_new_unchanged_or_absent() -> None:
    audit = demo_audit()
    first, *others = audit.findings.items
    gone = FormerFinding("0" * 16, "overload", "error", "a:b", "a:b:0,0,0", Block(1, 2, 3), "Gone.")
    comparison = Comparison(known=(first,), new=tuple(others), gone=(gone,), not_judged=())
    results = run(audit, comparison)["results"]
    states = [result["baselineState"] for result in results]
    assert states == ["unchanged", *["new"] * len(others), "absent"]
    assert results[-1]["partialFingerprints"] == {FINGERPRINT: "0" * 16}


HOSTILE = ["rope\x1b[31m", "\u202egnp", "[x](javascript:a)", "{0}", "<script>", "\ud800", "a\nb"]


@pytest.mark.parametrize("name", HOSTILE)
def test_names_of_the_save_are_text_and_nothing_else(name: str) -> None:
    case = mechanism([mover(8), mover(-8)], [(0, 1, ONE)])
    audit = audit_of(case)
    kinds = tuple(replace(kind, block=f"x:{name}") for kind in audit.parts.catalogues.types)
    parts = replace(audit.parts, catalogues=replace(audit.parts.catalogues, types=kinds))
    facts = replace(audit.scan.facts, title=name)
    found = run(replace(audit, parts=parts, scan=replace(audit.scan, facts=facts)))

    def walk(value: Any) -> None:
        if isinstance(value, dict):
            for one in value.values():
                walk(one)
        elif isinstance(value, list):
            for one in value:
                walk(one)
        elif isinstance(value, str):
            value.encode("utf-8")
            assert value.replace("\n", "").isprintable()

    walk(found["results"])
    text = found["results"][0]["locations"][0]["message"]["text"]
    assert "](" not in text
    assert "{" not in text.replace("{{", "")


def test_each_result_stands_on_its_own_line() -> None:
    lines = "".join(iter_audit_sarif(demo_audit())).splitlines()
    assert sum(line.startswith('{"ruleId"') for line in lines) == len(demo_audit().findings.items)
