"""Setting findings aside: what an ignore meets, and until when."""

from __future__ import annotations

from datetime import date

import pytest

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.ignores import Ignore
from analyzer.pipeline.ignores import set_aside
from tests.support.demo import demo_audit

OVERWORLD = "minecraft:overworld"
#: The overloaded mast hall of the demo stands from (3, 64, 24) to (8, 64, 24).
HALL = f"{OVERWORLD}:3,64,24"
DAY = date(2027, 3, 31)


def rules_at_hall(audit: Audit) -> set[str]:
    return {
        finding.rule
        for finding in audit.findings.items
        if finding.network is not None
        and audit.parts.block_at(int(audit.networks.anchor[finding.network])) == Block(3, 64, 24)
    }


def test_the_demo_has_an_overloaded_hall() -> None:
    assert "overload" in rules_at_hall(demo_audit())


def test_a_finding_is_set_aside_with_the_reason_and_nothing_is_lost() -> None:
    before = demo_audit().findings.items
    audit = set_aside(demo_audit(), [Ignore(reason="in repair", rule="overload", network=HALL)])
    ((finding, ignore),) = [(one.finding, one.ignore) for one in audit.ignored]
    assert (finding.rule, ignore.reason) == ("overload", "in repair")
    assert "overload" not in rules_at_hall(audit)
    assert len(audit.findings.items) == len(before) - 1
    assert set(map(id, before)) == {*map(id, audit.findings.items), id(finding)}


def test_a_network_without_a_rule_is_ignored_whole_and_no_other_is() -> None:
    audit = set_aside(demo_audit(), [Ignore(reason="in repair", network=HALL)])
    assert rules_at_hall(audit) == set()
    assert {one.finding.rule for one in audit.ignored} == rules_at_hall(demo_audit())


def test_a_rule_alone_is_ignored_everywhere() -> None:
    audit = set_aside(demo_audit(), [Ignore(reason="known", rule="unread-chunks")])
    assert "unread-chunks" in {one.finding.rule for one in audit.ignored}
    assert "unread-chunks" not in {one.rule for one in audit.findings.items}


@pytest.mark.parametrize(
    ("box", "met"),
    [
        # Any part of the network in the box will do, as for --box; corners belong to it.
        ((Block(8, 64, 24), Block(9, 70, 30)), True),
        ((Block(9, 70, 30), Block(8, 64, 24)), True),
        ((Block(9, 64, 24), Block(10, 70, 30)), False),
    ],
)
def test_a_box_meets_networks_with_a_part_in_it(box: tuple[Block, Block], met: bool) -> None:
    audit = set_aside(demo_audit(), [Ignore(reason="in repair", box=box)])
    assert ("overload" not in rules_at_hall(audit)) is met


def test_a_box_meets_nothing_about_the_save_as_a_whole() -> None:
    everywhere = (Block(-(2**31), -(2**31), -(2**31)), Block(2**31 - 1, 2**31 - 1, 2**31 - 1))
    audit = set_aside(demo_audit(), [Ignore(reason="all", box=everywhere)])
    left = {(one.network, one.at) for one in audit.findings.items}
    assert left == {(None, None)}


def test_a_dimension_narrows_a_box_and_a_rule() -> None:
    box = (Block(3, 64, 24), Block(3, 64, 24))
    for ignore in (
        Ignore(reason="x", box=box, dimension="quayworks:undercroft"),
        Ignore(reason="x", rule="overload", dimension="quayworks:undercroft"),
    ):
        assert "overload" in rules_at_hall(set_aside(demo_audit(), [ignore]))
    here = Ignore(reason="x", box=box, dimension=OVERWORLD)
    assert rules_at_hall(set_aside(demo_audit(), [here])) == set()


@pytest.mark.parametrize(
    ("today", "holds"),
    [
        (date(2027, 3, 30), True),
        (date(2027, 3, 31), True),
        (date(2027, 4, 1), False),
        (None, True),
    ],
)
def test_the_day_named_is_the_last_on_which_an_ignore_holds(
    today: date | None, holds: bool
) -> None:
    ignore = Ignore(reason="in repair", rule="overload", network=HALL, until=DAY)
    audit = set_aside(demo_audit(), [ignore], today=today)
    assert ("overload" not in rules_at_hall(audit)) is holds
    assert audit.lapsed == (() if holds else (ignore,))
    assert bool(audit.ignored) is holds


def test_the_first_ignore_that_is_met_gives_the_reason() -> None:
    ignores = [
        Ignore(reason="past", network=HALL, until=date(2000, 1, 1)),
        Ignore(reason="first", rule="overload", network=HALL),
        Ignore(reason="second", network=HALL),
    ]
    audit = set_aside(demo_audit(), ignores, today=DAY)
    reasons = {one.finding.rule: one.ignore.reason for one in audit.ignored}
    assert reasons["overload"] == "first"


def test_an_ignore_that_nothing_meets_changes_nothing() -> None:
    audit = set_aside(demo_audit(), [Ignore(reason="x", network=f"{OVERWORLD}:0,0,0")])
    assert audit.findings == demo_audit().findings
    assert (audit.ignored, audit.lapsed) == ((), ())
