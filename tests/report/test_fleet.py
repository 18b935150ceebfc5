"""Reports on many saves."""

from __future__ import annotations

import csv
import io
import json
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import jsonschema
import pytest

from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from analyzer.report.audit_json import iter_audit_json
from analyzer.report.audit_text import iter_audit_text
from analyzer.report.findings_csv import iter_findings_csv
from analyzer.report.fleet import FleetEntry, NotOpened
from analyzer.report.fleet_csv import FLEET_COLUMNS, iter_fleet_csv
from analyzer.report.fleet_json import iter_fleet_json
from analyzer.report.fleet_sarif import iter_fleet_sarif
from analyzer.report.fleet_text import iter_fleet_text
from tests.support.demo import demo_audit
from tests.support.saves import save_of
from tests.support.schemas import check_document
from tests.support.sketch import sketch

SARIF = Path(__file__).parents[1] / "support" / "sarif" / "sarif-schema-2.1.0.json"
MISSING = NotOpened("not-opened", "there is no such folder or file")


@cache
def small_audit() -> Audit:
    with tempfile.TemporaryDirectory() as folder:
        save = save_of(Path(folder), sketch("wheel:e shaft:x layer:e", at=(40, 64, 40)))
        return audit_save(save, catalogues=["quayworks"])


def entries() -> list[FleetEntry]:
    return [
        FleetEntry("Quay", "quay", 3, demo_audit()),
        FleetEntry("mill", "mill", 2, None, MISSING),
        FleetEntry("=Rope\x1b walk", "rope", 0, small_audit()),
    ]


def test_the_document_keeps_to_its_schema_and_holds_each_audit_as_it_is_alone() -> None:
    text = "".join(iter_fleet_json(entries()))
    document = check_document(text, "fleet")
    told = [(save["name"], save["exit_status"]) for save in document["saves"]]
    assert told == [("Quay", 3), ("mill", 2), ("=Rope\x1b walk", 0)]
    audits = [save["audit"] for save in document["saves"]]
    for audit, own in ((demo_audit(), audits[0]), (small_audit(), audits[2])):
        alone = "".join(iter_audit_json(audit))
        assert own == json.loads(alone)
        assert alone in text
    assert document["saves"][1]["not_opened"]["detail"] == MISSING.detail
    assert text.isascii()


def test_without_a_save_the_document_is_whole() -> None:
    assert check_document("".join(iter_fleet_json([])), "fleet")["saves"] == []


@pytest.mark.parametrize(
    "change",
    [
        {"name": None},
        {"exit_status": 4},
        {"exit_status": 2},
        {"audit": None},
        {"audit": {}},
        {"not_opened": {"reason": "not-opened", "detail": ""}},
        {"more": 1},
    ],
)
def test_the_schema_refuses_a_save_that_is_wrong(change: dict[str, object]) -> None:
    document = json.loads("".join(iter_fleet_json(entries()[:1])))
    document["saves"][0] |= change
    with pytest.raises(jsonschema.ValidationError):
        check_document(json.dumps(document), "fleet")


def test_text_has_one_line_a_save_and_then_each_report_under_its_name() -> None:
    text = "".join(iter_fleet_text(entries()))
    head, first, last = text.split("\n\n\n")
    lines = head.splitlines()
    assert lines[0] == "Audit of 3 saves: 1 passes, 1 not all read, 1 not opened"
    assert " ".join(lines[2].split()) == (
        "verdict errors warnings notes parts networks not read save"
    )
    assert " ".join(lines[3].split()) == "not all read 6 14 6 158 34 2 Quay"
    assert lines[4].split("  ")[-1] == "mill: there is no such folder or file"
    assert " ".join(lines[5].split()) == "passes 0 0 0 3 1 0 =Rope\\x1b walk"
    assert f"{first}\n" == "".join(iter_audit_text(demo_audit(), save="quay", title="Quay"))
    assert last == "".join(iter_audit_text(small_audit(), save="rope", title="=Rope\x1b walk"))


def test_the_table_has_the_save_in_front_of_each_row() -> None:
    named = [FleetEntry("=Quay", "quay", 3, demo_audit()), *entries()]
    rows = list(csv.reader(io.StringIO("".join(iter_fleet_csv(named)))))
    alone = list(csv.reader(io.StringIO("".join(iter_findings_csv(demo_audit())))))
    assert tuple(rows[0]) == FLEET_COLUMNS == ("save", *alone[0])
    assert rows[1:] == [["'=Quay", *row] for row in alone[1:]] + [
        ["Quay", *row] for row in alone[1:]
    ]


def test_sarif_has_one_run_a_save_that_can_be_told_apart() -> None:
    document = json.loads("".join(iter_fleet_sarif(entries())))
    jsonschema.Draft7Validator(json.loads(SARIF.read_text("utf-8"))).validate(document)
    runs = document["runs"]
    assert [one["automationDetails"]["id"] for one in runs] == ["Quay", "mill", "=Rope\\x1b walk"]
    assert [one["invocations"][0]["executionSuccessful"] for one in runs] == [True, False, True]
    assert len(runs[0]["results"]) == len(demo_audit().findings.items)
    assert "results" not in runs[1]
    (told,) = runs[1]["invocations"][0]["toolExecutionNotifications"]
    assert told["message"]["text"] == "Not audited: there is no such folder or file."


def test_no_save_makes_an_empty_report_in_every_form() -> None:
    assert json.loads("".join(iter_fleet_sarif([])))["runs"] == []
    assert "".join(iter_fleet_csv([])) == ",".join(FLEET_COLUMNS) + "\n"


@pytest.mark.parametrize(
    "report", [iter_fleet_text, iter_fleet_json, iter_fleet_csv, iter_fleet_sarif]
)
def test_saves_are_taken_one_by_one(report: object) -> None:
    held: list[str] = []

    def one_by_one() -> Iterator[FleetEntry]:
        for entry in entries():
            held.append(entry.name)
            yield entry

    pieces = report(one_by_one())  # type: ignore[operator]
    next(pieces)
    assert len(held) == (3 if report in (iter_fleet_text, iter_fleet_csv) else 0)
    assert sum(map(len, pieces)) > 0 or report is iter_fleet_csv
    assert len(held) == 3
