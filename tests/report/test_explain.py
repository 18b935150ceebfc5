"""Explanations as text and as JSON, held against the schema."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.explain.explain import explain_part
from analyzer.findings.explain.explanation import Explanation, Vacancy
from analyzer.report.explain_json import iter_explain_json
from analyzer.report.explain_text import iter_explain_text
from analyzer.save.reading.block_there import BlockThere
from analyzer.save.scan.scan import Fault, SlotStatus
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, governor, machine, mechanism, mover
from tests.support.schemas import check_document

ONE = Fraction(1)


def text(audit: Audit, told: Explanation | Vacancy) -> str:
    return "".join(iter_explain_text(audit, told, save="SAVE"))


def document(audit: Audit, told: Explanation | Vacancy) -> Any:
    return check_document("".join(iter_explain_json(audit, told)), "explain")


def test_every_part_of_the_demo_keeps_to_the_schema_and_to_80_columns() -> None:
    audit = demo_audit()
    for part in range(len(audit.parts)):
        told = explain_part(audit, part)
        assert document(audit, told)["part"]["cause"] == told.cause
        lines = text(audit, told).splitlines()
        assert max(map(len, lines)) <= 80, part


def test_every_cause_keeps_to_the_schema() -> None:
    governed = mechanism([mover(8), governor(0), machine(8)], [(0, 1, ONE)], governed=[(1, 2, ONE)])
    itself = mechanism([mover(8), governor(16)], [(0, 1, ONE)], governed=[(1, 0, ONE)])
    behind = mechanism([SHAFT, governor(8), mover(4)], [(0, 1, ONE)], governed=[(1, 2, ONE)])
    row = [(number, number + 1, Fraction(2)) for number in range(300)]
    far = mechanism([mover(8), *[SHAFT] * 300], row)
    for case, part, cause in (
        (governed, 2, "held"),
        (itself, 0, "governors"),
        (behind, 0, "not reached"),
        (far, 300, "out of range"),
    ):
        audit = audit_of(case)
        told = explain_part(audit, part)
        assert document(audit, told)["part"]["cause"] == cause
        assert max(map(len, text(audit, told).splitlines())) <= 80


def test_the_speed_is_told_exactly_and_as_a_decimal() -> None:
    audit = audit_of(mechanism([mover(8), machine(1)], [(0, 1, Fraction(-40, 3))]))
    told = explain_part(audit, 1)
    assert "~-106.67 rpm about +x, exactly -320/3\n" in text(audit, told)
    found = document(audit, told)
    assert found["part"]["rpm_exact"] == "-320/3"
    assert [step["ratio_exact"] for step in found["chains"][0]] == [None, "-40/3"]


def test_the_share_is_of_all_asked_for_and_of_all_given() -> None:
    parts = [mover(8, 32), machine(8), machine(2)]
    audit = audit_of(mechanism(parts, [(0, 1, ONE), (1, 2, ONE)]))
    found = document(audit, explain_part(audit, 1))
    assert found["part"]["share_of_demand_exact"] == "4/5"
    assert found["part"]["share_of_capacity_exact"] == "1/4"
    assert "64 hands, 80 % of all that is asked for, 25 % of all that is given" in " ".join(
        text(audit, explain_part(audit, 1)).split()
    )
    wheel = document(audit, explain_part(audit, 0))["part"]
    assert (wheel["share_of_capacity_exact"], wheel["share_of_demand"]) == ("1", None)


def test_parts_alike_in_a_row_are_counted_and_not_listed() -> None:
    row = [(number, number + 1, ONE) for number in range(30)]
    audit = audit_of(mechanism([mover(8), *[SHAFT] * 29, machine(1)], row))
    told = text(audit, explain_part(audit, 30))
    assert "... 27 more alike ..." in told
    assert len(document(audit, explain_part(audit, 30))["chains"][0]) == 31


@pytest.mark.parametrize("name", ["rope\x1b[31m", "\u202egnp", "<b>x</b>", "\ud800", "a\nb"])
def test_names_of_the_save_cannot_steer_a_terminal(name: str) -> None:
    audit = audit_of(mechanism([mover(8), SHAFT], [(0, 1, ONE)]))
    kinds = tuple(replace(kind, block=f"x:{name}") for kind in audit.parts.catalogues.types)
    catalogues = replace(audit.parts.catalogues, types=kinds)
    audit = replace(audit, parts=replace(audit.parts, catalogues=catalogues))
    told = explain_part(audit, 1)
    assert text(audit, told).replace("\n", "").isprintable()
    found = "".join(iter_explain_json(audit, told))
    assert found.isascii()
    assert document(audit, told)["part"]["block"] == f"x:{name}"


VACANT = Vacancy(
    "minecraft:overworld",
    Block(5, 64, 0),
    BlockThere(SlotStatus.READ, BlockState("minecraft:oak\x1b_log", (("axis", "y"),)), "x:y"),
    None,
    1,
    16,
)


def test_a_position_without_a_part_says_what_is_there_and_what_is_nearest() -> None:
    audit = audit_of(mechanism([mover(8), SHAFT]))
    told = text(audit, VACANT)
    assert told.startswith("No part at 5 64 0\n")
    assert "there       minecraft:oak\\x1b_log[axis=y]\n" in told
    assert "nearest     sketch:transmission at 1 64 0, 4 blocks away\n" in told
    found = document(audit, VACANT)
    assert (found["part"], found["there"]["block"]) == (None, "minecraft:oak\x1b_log")
    assert (found["nearest"]["at"], found["nearest"]["distance"]) == ([1, 64, 0], 4.0)


@pytest.mark.parametrize("status", [one for one in SlotStatus if one != SlotStatus.SIFTED])
def test_a_position_that_was_not_read_says_why(status: SlotStatus) -> None:
    audit = audit_of(mechanism([]))
    fault = Fault("a", "region/r.0.0.mca", None, "bad-zlib-stream", "the stream is damaged")
    there = (
        BlockThere(status, BlockState("minecraft:air"))
        if status == SlotStatus.READ
        else BlockThere(status, fault=fault if status == SlotStatus.UNREADABLE else None)
    )
    told = replace(VACANT, there=there, nearest=None, rejected=("a:b", "a property is absent"))
    assert "There is no part in this dimension.\n" in text(audit, told)
    found = document(audit, told)
    assert found["there"]["chunk"] == status.name.lower()
    assert found["there"]["no_part"] == "a property is absent"
    assert found["nearest"] is None


def test_without_a_catalogue_the_reader_is_told_to_name_one() -> None:
    audit = audit_of(mechanism([], catalogues=False))
    assert "name one with --catalogue" in " ".join(
        text(audit, replace(VACANT, nearest=None)).split()
    )
