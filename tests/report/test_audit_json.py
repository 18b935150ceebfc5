"""The audit for machines, held against its schema and the audit itself."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from analyzer.base.place import Block, Chunk
from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.parts.parts import Unusable
from analyzer.report.audit_json import iter_audit_json
from analyzer.save.scan.scan import Coverage, Fault
from tests.support.demo import demo_audit
from tests.support.mechanism import (
    SHAFT,
    Part,
    audit_of,
    governor,
    machine,
    mechanism,
    mover,
    scan_of,
)
from tests.support.schemas import check_document

ONE = Fraction(1)


def document(audit: Audit) -> Any:
    return check_document("".join(iter_audit_json(audit)), "audit")


def test_the_demo_audit_keeps_to_the_schema() -> None:
    found = document(demo_audit())
    assert list(found) == [
        "schema_version",
        "tool",
        "save",
        "catalogues",
        "policy",
        "scan",
        "networks",
        "findings",
        "ignored",
        "lapsed",
        "baseline",
        "unread",
    ]
    assert found["save"]["title"] == "Quayworks boatyard and ropewalk"


def test_an_empty_save_keeps_to_the_schema() -> None:
    found = document(audit_of(mechanism([])))
    assert (found["networks"], found["findings"], found["unread"]) == ([], [], [])


def test_every_kind_of_finding_keeps_to_the_schema() -> None:
    faults = (
        Fault("", "level.dat", None, "bad-gzip-stream", "x"),
        Fault("a:b", "region/r.0.0.mca", Chunk(2, -1), "bad-zlib-stream", "x", 8192),
    )
    scan = scan_of(coverage=Coverage((), faults), unknown=[("a:reel", 2)])
    assert document(audit_of(mechanism([], scan=scan, catalogues=False)))["findings"]
    doubled = [(i, i + 1, Fraction(2)) for i in range(300)]
    assert document(audit_of(mechanism([mover(8), *[SHAFT] * 300], doubled)))["findings"]
    ring = [(0, 1, ONE), (1, 2, ONE), (0, 2, Fraction(3, 2))]
    (found,) = document(audit_of(mechanism([SHAFT] * 3, ring)))["findings"]
    assert found["witness"]["ratios_exact"] == ["1", "1", "2/3"]
    assert found["witness"]["product_exact"] == "2/3"


def test_a_conflict_by_governors_keeps_to_the_schema() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24)]
    case = mechanism(parts, [(0, 1, ONE), (0, 3, ONE)], governed=[(1, 2, ONE), (3, 2, ONE)])
    found = document(audit_of(case))
    assert [network["conflict"] for network in found["networks"]] == ["governors"]
    (finding,) = found["findings"]
    assert finding["rule"] == "governor-conflict"
    assert finding["witness"]["ratios_exact"] == ["1", "1"]
    assert finding["witness"]["governed"] == [0, 1]


def test_findings_without_a_network_may_have_a_place_and_names() -> None:
    bare = [(Block(1, 2, 3), "a:reel"), (Block(1, 2, 4), "a:reel")]
    (found,) = document(audit_of(mechanism([SHAFT], scan=scan_of(bare=bare))))["findings"]
    assert (found["network"], found["at"], found["also"]) == (None, [1, 2, 3], [[1, 2, 4]])
    assert found["names"] == {"a:reel": 2}


def test_a_network_counts_its_switches() -> None:
    case = mechanism([SHAFT, Part(switch=True), Part(switch=True)], [(0, 1, ONE), (1, 2, ONE)])
    (network,) = document(audit_of(case))["networks"]
    assert network["switches"] == 2


def test_a_number_that_cannot_be_used_is_a_cut_without_a_direction() -> None:
    case = mechanism([SHAFT], unusable=[Unusable(0, Field.SWITCH, "On", "text")])
    (network,) = document(audit_of(case))["networks"]
    assert network["cut"] == [{"at": [0, 64, 0], "towards": None, "reason": "unusable-number"}]


def test_budgets_come_as_numbers_and_exactly() -> None:
    parts = [mover(Fraction(1, 3), 1), machine(Fraction(1, 7))]
    (network,) = document(audit_of(mechanism(parts, [(0, 1, ONE)])))["networks"]
    assert (network["capacity"], network["capacity_exact"]) == (1 / 3, "1/3")
    assert network["demand_exact"] == "1/21"
    assert network["headroom_exact"] == "2/7"


def test_a_conflicting_network_has_a_capacity_and_no_demand() -> None:
    (network,) = document(audit_of(mechanism([mover(8), mover(-8)], [(0, 1, ONE)])))["networks"]
    assert (network["state"], network["conflict"]) == ("conflicting", "movers")
    assert (network["capacity"], network["demand"], network["headroom"]) == (512, None, None)


def test_a_network_is_named_by_its_anchor_and_measured_by_its_members() -> None:
    (network,) = document(audit_of(mechanism([SHAFT] * 40, [(i, i + 1, ONE) for i in range(39)])))[
        "networks"
    ]
    assert network["id"] == "minecraft:overworld:0,64,0"
    assert network["box"] == [[0, 64, 0], [39, 64, 0]]
    assert network["chunks"] == 3


def test_a_cut_names_the_part_the_block_aimed_at_and_why() -> None:
    (network,) = document(audit_of(mechanism([SHAFT], cut=[0])))["networks"]
    assert network["cut"] == [{"at": [0, 64, 0], "towards": [0, 64, -1], "reason": "unreadable"}]


def test_networks_not_asked_about_are_left_out() -> None:
    found = document(audit_of(mechanism([SHAFT] * 3, selected=[1])))
    assert [network["anchor"] for network in found["networks"]] == [[1, 64, 0]]
    assert found["scan"]["parts"] == 3


def test_a_product_too_long_to_write_is_null() -> None:
    # Each step of the long way round doubles, and the short way is one shaft.
    steps = [(i, i + 1, Fraction(2)) for i in range(1200)]
    parts = [SHAFT] * 1201
    found, *_ = document(audit_of(mechanism(parts, [*steps, (0, 1200, ONE)])))["findings"]
    assert found["witness"]["product_exact"] is None
    assert found["witness"]["product"] is None
    assert found["witness"]["shortest"] is True


@pytest.mark.parametrize("title", ["rope\x1b[31m", "\u202egnp", "Ölmühle", '"', "\ud800"])
def test_the_text_is_plain_ascii_whatever_a_world_is_called(title: str) -> None:
    from dataclasses import replace

    audit = demo_audit()
    facts = replace(audit.scan.facts, title=title)
    text = "".join(iter_audit_json(replace(audit, scan=replace(audit.scan, facts=facts))))
    assert text.isascii()
    assert text.replace("\n", "").isprintable()
    assert check_document(text, "audit")["save"]["title"] == title


def test_each_network_and_finding_stands_on_its_own_line() -> None:
    audit = demo_audit()
    lines = "".join(iter_audit_json(audit)).splitlines()
    assert sum(line.startswith('{"id"') for line in lines) == len(audit.networks)
    assert sum(line.startswith('{"rule"') for line in lines) == len(audit.findings.items)
