"""Every rule has its sentence, with what was measured, the limit and the unit."""

from __future__ import annotations

from fractions import Fraction

from analyzer.base.place import Block
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import Break
from analyzer.findings.audit import Audit
from analyzer.findings.registry import RULES
from analyzer.parts.parts import Rejected, Unusable
from analyzer.report import sentences
from analyzer.report.sentences import message, next_step
from analyzer.save.chunk.versions import NEWEST_KNOWN
from analyzer.save.scan.scan import Coverage, Fault
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
        "Gear the way to it down by 2 or more, or slow the mover.",
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


def told(rule: str, *args: object, **more: object) -> tuple[str, str]:
    """Return the message and next step of the one finding by a rule about a mechanism."""
    audit = audit_of(mechanism(*args, **more))  # type: ignore[arg-type]
    (finding,) = (one for one in audit.findings.items if one.rule == rule)
    return message(audit, finding), next_step(audit, finding)


def test_governors_are_told_with_what_each_makes_of_the_other() -> None:
    parts = [mover(8), governor(16), SHAFT, governor(24)]
    couplings = [(0, 1, ONE), (0, 3, ONE)]
    text, remedy = told("governor-conflict", parts, couplings, governed=[(1, 2, ONE), (3, 2, ONE)])
    assert text == (
        "Two governors ask for different speeds: what the one at 1 64 0 sets would be 16 rpm at "
        "the one at 3 64 0, which sets 24 rpm. Nothing in the network turns."
    )
    assert remedy.startswith("Set the governors so that they agree")


def test_governors_that_follow_opposite_senses_are_told_without_speeds() -> None:
    parts = [mover(8), governor(16, follows=True), SHAFT, governor(16, follows=True)]
    couplings = [(0, 1, ONE), (0, 3, -ONE)]
    text, _ = told("governor-conflict", parts, couplings, governed=[(1, 2, ONE), (3, 2, ONE)])
    assert text.startswith("Two governors ask for opposite senses: the one at 1 64 0 and the one")


def test_a_governor_that_contradicts_itself_is_told_as_such() -> None:
    parts = [mover(8), governor(5), SHAFT]
    text, _ = told(
        "governor-conflict", parts, [(0, 1, ONE), (1, 2, Fraction(2))], governed=[(1, 2, ONE)]
    )
    assert text.startswith("The governor at 1 64 0 contradicts itself: what its port drives leads")


def test_governors_in_a_ring_are_told_as_such() -> None:
    parts = [mover(8), governor(4), SHAFT, governor(0)]
    governed = [(1, 2, ONE), (3, 0, ONE)]
    text, _ = told("governor-conflict", parts, [(0, 1, ONE), (2, 3, ONE)], governed=governed)
    assert text.startswith("Governors lead round from the port of the one at 1 64 0 back to it")


def test_a_mover_against_a_governor_is_told_apart_from_two_movers() -> None:
    parts = [mover(8), governor(16), mover(-4)]
    text, remedy = told("mover-conflict", parts, [(0, 1, ONE)], governed=[(1, 2, ONE)])
    assert text == (
        "A mover pushes against a governor: the one at 1 64 0 would turn it at 16 rpm, and the "
        "mover at 2 64 0 asks for -4 rpm. Nothing in the network turns."
    )
    assert "set the governor the other way" in remedy


def test_thin_headroom_names_what_is_left_and_what_should_be() -> None:
    line = [(0, 1, ONE)]
    assert told("thin-headroom", [mover(1, 100), machine(95)], line)[0] == (
        "Of the 100 hands that the movers give, 5 hands are left; 10 hands should be."
    )
    assert told("thin-headroom", [mover(1, 100), machine(100)], line)[0] == (
        "The machines ask for all of the 100 hands that the movers give."
    )


def test_too_slow_in_an_overloaded_network_says_once_it_turns() -> None:
    line = [(0, 1, ONE), (1, 2, ONE)]
    assert told("too-slow", [mover(3), machine(1, least=4), SHAFT], line) == (
        "A machine turns at 3 rpm, and needs 4 rpm.",
        "Gear the way to it up by 1.34 or more.",
    )
    slow = [mover(3), machine(1000, least=4), machine(1, least=5)]
    assert told("too-slow", slow, line)[0] == (
        "2 machines would turn slower than they need to once the network turns; the worst off "
        "turns at 3 rpm and needs 5 rpm."
    )


def test_too_slow_in_a_zone_at_rest_is_told_as_no_turn() -> None:
    parts = [mover(8), governor(0), machine(least=1)]
    assert told("too-slow", parts, [(0, 1, ONE)], governed=[(1, 2, ONE)]) == (
        "A machine turns not at all, and needs 1 rpm.",
        "Give its side of the governor a mover, or the governor another speed than 0.",
    )


def test_undriven_machines_are_told_apart_by_the_movers_there_are() -> None:
    assert told("undriven-machines", [machine()]) == (
        "1 machine and no mover: nothing drives it.",
        "Couple it to a mover.",
    )
    line = [(0, 1, ONE), (1, 2, ONE)]
    assert told("undriven-machines", [mover(0), machine(), machine()], line)[0] == (
        "2 machines, and its mover does not drive: nothing turns them."
    )
    assert told("undriven-machines", [mover(0), mover(0), machine()], line)[0] == (
        "1 machine, and none of its 2 movers drives: nothing turns it."
    )


def test_what_holds_as_far_as_read_says_what_to_mend_first() -> None:
    number = Unusable(0, Field.LEAST_RPM, "Least", "NaN")
    for rule, part in (("undriven-machines", machine()), ("driving-nothing", mover(8))):
        assert told(rule, [part], cut=[0])[1].startswith("Have the places it is cut at read")
        assert told(rule, [part], unusable=[number])[1].startswith("Set its unusable numbers")


def test_movers_that_drive_nothing_or_are_dragged_are_counted() -> None:
    assert told("driving-nothing", [mover(8)])[0] == "A mover turns, and no machine uses it."
    pair = [mover(8), mover(8)]
    assert told("driving-nothing", pair, [(0, 1, ONE)])[0] == (
        "2 movers turn, and no machine uses them."
    )
    assert told("unequal-movers", [mover(8), mover(4)], [(0, 1, ONE)])[0] == (
        "A mover is dragged along at 8 rpm; it is rated for 4 rpm."
    )
    three = [mover(8), mover(4), mover(2)]
    assert told("unequal-movers", three, [(0, 1, ONE), (1, 2, ONE)])[0] == (
        "2 movers are dragged along at other speeds than they are rated for; the farthest off at "
        "8 rpm, rated for 2 rpm."
    )


def test_a_heavy_network_names_the_limit_farthest_passed_and_the_others() -> None:
    limits = Policy(heavy_parts=10, heavy_chunks=1, heavy_switches=40)
    parts = [Part(switch=True)] * 41
    couplings = [(part, part + 1, ONE) for part in range(40)]
    assert told("heavy-network", parts, couplings, policy=limits)[0] == (
        "It has 41 parts, where 10 are the limit; also above its limit: 3 chunks, 41 switches."
    )


def test_broken_links_say_where_they_lead() -> None:
    assert told("broken-link", [SHAFT], broken=[(0, Break.NO_LINK)])[0] == (
        "A stored link leads to a part that has no link and couples nothing."
    )
    two = [(0, Break.MISSING), (1, Break.ITSELF)]
    assert told("broken-link", [SHAFT] * 2, [(0, 1, ONE)], broken=two)[0] == (
        "2 stored links couple nothing: 1 to the part itself, 1 to where no part is."
    )


def test_a_cut_network_says_what_became_of_the_chunks() -> None:
    text, remedy = told("cut-network", [SHAFT], cut=[0], never_made=[0])
    assert text == (
        "It points at 2 blocks in chunks that were not read (never generated 1, unreadable 1): "
        "what stands there may belong to it."
    )
    assert remedy.startswith("Restore those chunks")
    assert told("cut-network", [SHAFT], never_made=[0])[1].startswith("Go there once")


def test_what_the_save_keeps_badly_is_told_with_its_name() -> None:
    number = Unusable(0, Field.TORQUE, "Pull", "NaN")
    assert told("unusable-number", [SHAFT], unusable=[number])[0] == (
        "1 stored number cannot be used (Pull 1): what rests on that is not known."
    )
    block = Rejected(0, Block(1, 2, 3), "not-understood", "a:reel[bar=x]", "property bar is x")
    assert told("not-understood", [SHAFT], rejected=[block])[0] == (
        "1 block of a:reel cannot be understood: property bar is x."
    )
    bare = [(Block(1, 2, 3), "a:reel"), (Block(1, 2, 4), "a:reel")]
    assert told("record-missing", [SHAFT], scan=scan_of(bare=bare))[0] == (
        "2 blocks of a:reel have no block entity and cannot be judged as a part."
    )


def test_what_is_unknown_is_told_with_the_command_that_drafts_it() -> None:
    audit = audit_of(mechanism([SHAFT], scan=scan_of(unknown=[("sketch:vat", 2)])))
    (finding,) = (one for one in audit.findings.items if one.rule == "unknown-blocks")
    assert message(audit, finding) == (
        "Not in any catalogue, though in the namespace of one: sketch:vat 2."
    )
    assert sentences.next_command(finding, save="world") == (
        "lineshaft survey world --draft sketch.toml --namespace sketch"
    )


def test_a_newer_version_is_told_beside_the_newest_known() -> None:
    assert told("newer-version", [SHAFT], scan=scan_of(versions=[NEWEST_KNOWN + 989]))[0] == (
        "There are chunks of data version 6,000; the newest that is known is 5,011. They were read "
        "as far as their layout is known."
    )
