"""Findings as a table."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from analyzer.findings.audit import Audit
from analyzer.report.findings_csv import COLUMNS, iter_findings_csv
from analyzer.report.sentences import message
from tests.support.demo import demo_audit
from tests.support.mechanism import audit_of, machine, mechanism, mover


def rows(audit: Audit) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO("".join(iter_findings_csv(audit)))))


def test_each_finding_is_a_row_with_numbers_that_stay_numbers() -> None:
    audit = demo_audit()
    for finding, row in zip(audit.findings.items, rows(audit), strict=True):
        assert (row["rule"], row["level"]) == (finding.rule, str(finding.level))
        assert row["fingerprint"] == finding.fingerprint
        assert row["message"] == message(audit, finding)
        if finding.at is not None:
            assert tuple(map(int, (row["x"], row["y"], row["z"]))) == finding.at
        if finding.measured is not None:
            assert float(row["measured"]) == float(finding.measured)


def test_without_findings_there_is_the_header_alone() -> None:
    assert "".join(iter_findings_csv(audit_of(mechanism([])))) == ",".join(COLUMNS) + "\n"


@pytest.mark.parametrize("name", ["=1+1", "@x", "+x", "-x", "a\x1bb", "\u202ex"])
def test_names_of_the_save_are_no_formulas(name: str) -> None:
    audit = audit_of(mechanism([mover(8, 1), machine(8)], [(0, 1, 1)]))
    parts = replace(audit.parts, dimensions=(name,))
    items = tuple(replace(one, dimension=name, unit=name) for one in audit.findings.items)
    (row,) = rows(replace(audit, parts=parts, findings=replace(audit.findings, items=items)))
    for key in ("dimension", "unit", "network"):
        assert not row[key].startswith(("=", "@", "+", "-"))
        assert row[key].isprintable()
