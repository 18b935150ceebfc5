"""The verdict in one sentence."""

from __future__ import annotations

from dataclasses import replace

from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.report.network_rows import iter_network_rows
from analyzer.report.page.verdict import verdict
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, machine, mechanism, mover


def told(audit: Audit) -> str:
    return verdict(audit, list(iter_network_rows(audit)))


def test_what_stands_still_comes_first_and_what_was_not_read_last() -> None:
    assert told(demo_audit()) == (
        "5 of 28 driven networks stand still: 4 held fast by a contradiction, 1 asked for more "
        "power than there is; 2 places could not be read."
    )


def test_a_world_without_a_drive_is_called_so() -> None:
    assert told(audit_of(mechanism([]))) == "No drive was found."


def test_networks_that_turn_are_praised_as_far_as_was_read() -> None:
    audit = audit_of(mechanism([mover(8), machine(8)], [(0, 1, 1)]))
    assert told(audit) == (
        "Every driven network turns, and nothing is wrong with what was read and is known."
    )


def test_findings_graver_than_notes_are_counted_where_everything_turns() -> None:
    audit = audit_of(mechanism([mover(8), machine(8, limit=4)], [(0, 1, 1)]))
    assert [one.level for one in audit.findings.items] == [Level.ERROR]
    assert told(audit) == "Every driven network turns, with 1 error to look at."


def test_one_overloaded_network_stands_still() -> None:
    audit = audit_of(mechanism([mover(8, 1), machine(8), SHAFT], [(0, 1, 1)]))
    assert told(audit) == (
        "1 of 1 driven network stands still: 1 asked for more power than there is."
    )


def test_a_world_in_which_nothing_is_driven_is_called_so() -> None:
    assert told(audit_of(mechanism([SHAFT, machine(8)]))) == ("Nothing drives any of the networks.")


def test_what_is_ignored_is_not_called_right() -> None:
    audit = audit_of(mechanism([mover(8), machine(8)], [(0, 1, 1)]))
    assert told(replace(audit, ignored=(object(),))).endswith(  # type: ignore[arg-type]
        "nothing is wrong but what is ignored."
    )
