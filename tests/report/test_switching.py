"""Other states of switches and movers, in every format."""

from __future__ import annotations

import json
from functools import cache

from analyzer.base.place import Block
from analyzer.findings.findings import Throw
from analyzer.pipeline.switches import Explored, explore_save
from analyzer.report.audit_json import iter_audit_json
from analyzer.report.audit_sarif import iter_audit_sarif
from analyzer.report.audit_text import iter_audit_text
from analyzer.report.findings_csv import iter_findings_csv
from analyzer.report.page.audit_page import iter_audit_page
from analyzer.report.switching_text import iter_switching
from analyzer.report.throws_text import throws_text
from tests.support.demo import demo_audit
from tests.support.schemas import check_document
from tests.switching.test_explore import chains, line_of_clutches

SENTENCE = "With walkers=1 at 57 64 -22: the machines ask for 64 hands; the movers give 48 hands."


@cache
def explored() -> Explored:
    return explore_save(demo_audit())


def text() -> str:
    return "".join(iter_audit_text(explored().audit, switching=explored().switching))


def test_the_text_tells_what_to_set_beside_the_finding():
    assert (
        "  error: overload, in another switch state\n"
        "    The machines ask for 64 hands; the movers give 48 hands. The whole network\n"
        "    stands still.\n"
        "    set    walkers=1 (now 2) on quayworks:treadwheel at 57 64 -22\n"
    ) in text()
    assert "Before it is set so: add movers for 16 hands" in text()


def test_the_text_tells_the_worst_of_each_assembly_that_has_one():
    told = text().split("Other states of switches and movers\n")[1]
    assert "11 assemblies with something to set: 2 errors" in told
    assert "  demand    up to 192 of 256 hands, with lever=in at 61 64 -27\n" in told
    assert "7 assemblies ask for no more power in any other state;" in told


def test_the_text_keeps_to_its_width_but_for_commands():
    assert [
        line for line in text().splitlines() if len(line) > 80 and "lineshaft" not in line
    ] == []


def test_without_exploring_nothing_is_said_of_it():
    plain = "".join(iter_audit_text(demo_audit()))
    assert "another" not in plain.split("Findings:")[1].split("Networks by size")[0]
    document = json.loads("".join(iter_audit_json(demo_audit())))
    assert "switching" not in document
    assert not [one for one in document["findings"] if "switches" in one]


def test_the_document_keeps_to_its_schema_and_names_what_to_set():
    report = explored()
    document = check_document(
        "".join(iter_audit_json(report.audit, switching=report.switching)), "audit"
    )
    latent = [one for one in document["findings"] if "switches" in one]
    assert [(one["rule"], one["certain"]) for one in latent] == [
        ("overload", "in another switch state"),
        ("mover-conflict", "in another switch state"),
    ]
    assert latent[0]["switches"] == [
        {
            "at": [57, 64, -22],
            "block": "quayworks:treadwheel",
            "property": "walkers",
            "value": "1",
            "before": "2",
        }
    ]
    assemblies = document["switching"]["assemblies"]
    assert len(assemblies) == 11
    assert [name for one in assemblies for name in one["findings"]] == [
        one["fingerprint"] for one in latent
    ]
    ids = {network["id"] for network in document["networks"]}
    assert {name for one in assemblies for name in one["networks"]} <= ids


def test_a_bound_keeps_to_the_schema_and_is_told():
    report = explore_save(line_of_clutches(14), most_states=20)
    document = check_document(
        "".join(iter_audit_json(report.audit, switching=report.switching)), "audit"
    )
    (one,) = document["switching"]["assemblies"]
    assert (one["looked_at"], one["states"], one["bound"]["demand"]) == ("singles", 2**14, 112)
    told = "".join(iter_switching(report.audit, report.switching))
    assert "those within one change of the save's, of 16,384" in told
    assert "demand at most 112 hands, capacity at most 32 hands, speed at most 8" in told


def test_tables_results_and_the_page_begin_the_sentence_with_what_to_set():
    audit = explored().audit
    rows = [row for row in "".join(iter_findings_csv(audit)).splitlines() if "another" in row]
    assert len(rows) == 2
    assert SENTENCE in rows[0]
    results = json.loads("".join(iter_audit_sarif(audit)))["runs"][0]["results"]
    (result,) = [one for one in results if SENTENCE in one["message"]["text"]]
    assert result["properties"]["certain"] == "in another switch state"
    assert SENTENCE in "".join(iter_audit_page(audit))


def test_a_part_that_would_turn_too_fast_is_not_said_to_turn_so():
    report = explore_save(chains(1, 1, torque=100))
    assert "up to 8 of 800 hands" in "".join(iter_switching(report.audit, report.switching))


def test_many_settings_are_counted_in_a_sentence():
    throws = [Throw(Block(x, 0, 0), "a:b", "lever", "in", "out") for x in range(9)]
    assert throws_text(throws[:2]) == "lever=in at 0 0 0 and lever=in at 1 0 0"
    assert throws_text(throws).endswith("lever=in at 5 0 0 and 3 more settings")


def test_values_from_a_save_are_cleaned():
    assert throws_text([Throw(Block(0, 0, 0), "a:b", "le\x1bver", "i\nn", "out")]) == (
        "le\\x1bver=i\\x0an at 0 0 0"
    )
