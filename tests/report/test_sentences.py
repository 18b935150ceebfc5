"""Every rule has its sentence, with what was measured, the limit and the unit."""

from __future__ import annotations

from fractions import Fraction

from analyzer.findings.audit import Audit
from analyzer.findings.registry import RULES
from analyzer.report import sentences
from analyzer.report.sentences import message, next_step
from analyzer.save.scan import Coverage, Fault
from tests.support.mechanism import SHAFT, Part, audit_of, machine, mechanism, mover, scan_of

ONE = Fraction(1)


def said(audit: Audit, number: int = 0) -> tuple[str, str]:
    finding = audit.findings.items[number]
    return message(audit, finding), next_step(audit, finding)


def test_every_rule_has_a_message_and_a_next_step() -> None:
    assert sentences.WORDINGS.keys() >= {rule.name for rule in RULES}


def test_an_overload_names_demand_and_capacity_and_what_is_missing() -> None:
    audit = audit_of(mechanism([mover(8), machine(40)], [(0, 1, ONE)]))
    assert said(audit) == (
        "The machines ask for 320 hands; the movers give 256 hands. The whole network stands "
        "still.",
        "Add movers for 64 hands, or take out or slow down machines that ask for as much.",
    )


def test_over_speed_in_an_overloaded_network_says_once_it_turns() -> None:
    parts = [mover(8), machine(40), Part(limit=4)]
    audit = audit_of(mechanism(parts, [(0, 1, ONE), (1, 2, ONE)]))
    assert said(audit) == (
        "A part would turn at 8 rpm once the network turns, where 4 rpm is allowed.",
        "Gear the way to it down 2 times or more, or slow the mover.",
    )


def test_over_speed_of_several_parts_names_the_fastest() -> None:
    parts = [mover(8), Part(limit=4), Part(limit=4)]
    audit = audit_of(mechanism(parts, [(0, 1, ONE), (1, 2, Fraction(-2))]))
    assert said(audit)[0] == (
        "2 parts turn faster than they may; the fastest at 16 rpm, where 4 rpm is allowed."
    )


def test_a_loop_says_whether_directions_or_speeds_clash() -> None:
    def ring(last: Fraction) -> str:
        couplings = [(0, 1, ONE), (1, 2, ONE), (0, 2, last)]
        return said(audit_of(mechanism([SHAFT] * 3, couplings)))[0]

    assert "it would have to turn both ways at once" in ring(Fraction(-1))
    assert "a turn comes back 1/2 times as fast" in ring(Fraction(2))
    assert "a turn comes back reversed and 1/2 times as fast" in ring(Fraction(-2))


def test_a_pair_coupled_twice_is_told_as_such() -> None:
    audit = audit_of(mechanism([SHAFT] * 2, [(0, 1, ONE), (0, 1, Fraction(2))]))
    assert said(audit)[0].startswith("Two parts are coupled twice in ways that contradict")


def test_unequal_movers_are_told_apart_from_opposed_ones() -> None:
    strict = [mover(8, strict=True), mover(4, strict=True)]
    text, remedy = said(audit_of(mechanism(strict, [(0, 1, ONE)])))
    assert text.startswith("Two movers ask for different speeds: the one at 0 64 0 would turn")
    assert remedy.startswith("Give both one speed")
    text, remedy = said(audit_of(mechanism([mover(8), mover(-4)], [(0, 1, ONE)])))
    assert text.startswith("Two movers push opposite ways")
    assert remedy.startswith("Turn one of the two round")


def test_unread_chunks_and_files_are_counted_apart() -> None:
    faults = (
        Fault("a:b", "region/r.0.0.mca", None, "no-permission", "x"),
        Fault("", "level.dat", None, "bad-gzip-stream", "x"),
    )
    audit = audit_of(mechanism([SHAFT], scan=scan_of(coverage=Coverage((), faults))))
    assert said(audit, 1)[0] == (
        "1 file could not be read (no-permission 1): what stands there was not judged."
    )


def test_a_namespace_from_a_save_cannot_steer_the_shell_or_the_terminal() -> None:
    command = sentences.draft_command("world", "a;rm -rf\x1b[2J")
    assert command == (
        "lineshaft survey world --draft a_rm_-rf__2J.toml --namespace 'a;rm -rf\\x1b[2J'"
    )


def test_what_is_out_of_range_names_the_spread_and_the_bound() -> None:
    doublings = [(i, i + 1, Fraction(2)) for i in range(300)]
    audit = audit_of(mechanism([mover(8), *[SHAFT] * 300], doublings))
    assert said(audit)[0] == (
        "From its slowest part to its fastest the speed doubles 300 times; no more than 256 "
        "doublings can be written."
    )
