"""What a page carries of an audit: its schema, and that nothing is lost on the way."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from analyzer.findings.audit import Audit
from analyzer.report.network_rows import iter_network_rows
from analyzer.report.sentences import message, next_step
from tests.report.page.carried import data_of, page_of
from tests.report.page.test_columns import read
from tests.support.demo import demo_audit
from tests.support.mechanism import audit_of, mechanism

SCHEMA = json.loads(Path(__file__).with_name("page_data.schema.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    return data_of(page_of(demo_audit()))


@pytest.mark.parametrize("audit", [demo_audit(), audit_of(mechanism([]))], ids=["demo", "nothing"])
def test_the_document_keeps_to_its_schema(audit: Audit) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.Draft202012Validator(SCHEMA).validate(data_of(page_of(audit)))


def test_parts_are_carried_whole(data: dict[str, Any]) -> None:
    audit, parts = demo_audit(), data["parts"]
    columns = {name: read(parts[name]) for name in parts if name != "count"}
    assert {len(column) for column in columns.values()} == {parts["count"]} == {len(audit.parts)}
    for part in range(len(audit.parts)):
        place = [columns[axis][part] for axis in "xyz"]
        assert place == audit.parts.xyz[part].tolist()
        assert data["looks"][columns["look"][part]][0] == (
            audit.parts.catalogues.types[int(audit.parts.type[part])].block
        )
        rpm, speed = audit.solution.speed_rpm(part), columns["speed"][part]
        carried = None if speed < 0 else exact(data["speeds"][speed])
        assert carried == rpm


def exact(quantity: list[Any]) -> Fraction:
    """Return what a quantity stands for: its exact text, if it was rounded to be shown."""
    return Fraction(quantity[2] if len(quantity) > 2 else quantity[1].replace(",", ""))


def test_couplings_lead_from_part_to_part_of_one_network(data: dict[str, Any]) -> None:
    couplings = {key: read(data["couplings"][key]) for key in ("a", "step", "kind", "ratio")}
    network = read(data["parts"]["network"])
    assert len(couplings["a"]) == data["couplings"]["count"] > 0
    for a, step in zip(couplings["a"], couplings["step"], strict=True):
        assert network[a] == network[a + step]


def test_networks_are_carried_in_the_order_of_the_report(data: dict[str, Any]) -> None:
    rows, networks = list(iter_network_rows(demo_audit())), data["networks"]
    assert networks["anchor"] == [list(row.anchor) for row in rows]
    assert networks["parts"] == [row.parts for row in rows]
    for name, amount in (("capacity", "capacity_power"), ("demand", "demand_power")):
        found = [data["powers"][index][0] for index in networks[name]]
        assert found == [getattr(row, amount) for row in rows]


def test_findings_say_what_the_report_says(data: dict[str, Any]) -> None:
    audit, found, texts = demo_audit(), data["findings"], data["texts"]
    items = audit.findings.items
    assert [texts[one] for one in found["message"]] == [message(audit, one) for one in items]
    assert [texts[one] for one in found["next"]] == [next_step(audit, one) for one in items]
    assert [texts[one] for one in found["rule"]] == [one.rule for one in items]
    assert found["fingerprint"] == [one.fingerprint for one in items]
    steps, begin = read(found["steps"]), 0
    for finding, length in zip(items, found["length"], strict=True):
        parts = steps[begin : begin + length]
        begin += length
        witness = () if finding.witness is None else finding.witness.parts
        assert tuple(audit.parts.block_at(part) for part in parts) == witness
    assert begin == len(steps)
