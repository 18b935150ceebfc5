"""What is found in other states: in halls built of blocks, and in mechanisms written by hand."""

from __future__ import annotations

import os
import subprocess
import sys
from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from analyzer.base.policy import Level, Policy
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.findings.registry import RULES
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.request import select_networks
from analyzer.switching.explore import explore_switches
from analyzer.switching.subject import JUDGED
from analyzer.switching.switching import Assembly
from tests.cases.case import PLAIN
from tests.support.mechanism import SHAFT, governor, machine, mover
from tests.support.saves import save_of
from tests.support.sketch import sketch
from tests.switching.halls import Piece, clutch, hall

F = Fraction
PLAIN_SHAFT = Piece(SHAFT)


def audited(folder: Path, text: str, **given: object) -> Audit:
    save = save_of(folder, sketch(text), manner=PLAIN)
    return audit_save(save, catalogues=["quayworks"], **given)  # type: ignore[arg-type]


def found(audit: Audit, **given: int) -> list[tuple[str, tuple[tuple[int, ...], ...]]]:
    """Return rule and positions of what to set, of everything found in other states."""
    return [
        (one.rule, tuple(tuple(throw.at) for throw in one.throws))
        for assembly in explore_switches(audit, **given).assemblies
        for one in assembly.found
    ]


def only(audit: Audit, **given: int) -> Assembly:
    (assembly,) = explore_switches(audit, **given).assemblies
    return assembly


#: A ring of two shafts that mesh twice, with a reverser and a disengaged clutch in it; behind it
#: five more clutches and three more reversers.
RING = "\n".join(
    (
        "wheel:e t12:x reverse:e,lever=ahead t12:x clutch:x,lever=in reverse:e,lever=ahead "
        "clutch:x,lever=in reverse:e,lever=astern clutch:x,lever=out reverse:e,lever=ahead "
        "clutch:x,lever=in clutch:x,lever=out layer:e",
        ". t12:x clutch:x,lever=out t12:x",
    )
)


def test_a_conflict_behind_one_clutch_of_six_and_one_reverser_of_four_names_these_two(tmp_path):
    audit = audited(tmp_path, RING)
    types = [audit.parts.catalogues.types[kind].block for kind in audit.parts.type.tolist()]
    assert (types.count("quayworks:dog_clutch"), types.count("quayworks:tumbler_reverse")) == (6, 4)
    assert not [one for one in audit.findings.items if one.level is Level.ERROR]
    assembly = only(audit)
    assert assembly.states == 2**10
    assert assembly.extent == "all"
    (finding,) = assembly.found
    assert finding.rule == "loop-conflict"
    assert finding.certain == "in another switch state"
    assert [(tuple(one.at), one.property, one.before, one.value) for one in finding.throws] == [
        ((4, 64, 2), "lever", "ahead", "astern"),
        ((4, 64, 3), "lever", "out", "in"),
    ]


def test_the_conflict_stands_once_these_two_are_thrown_and_not_with_one_of_them(tmp_path):
    thrown = RING.replace("lever=ahead t12", "lever=astern t12")
    for number, text in enumerate(
        (thrown, RING.replace("t12:x clutch:x,lever=out", "t12:x clutch:x,lever=in"))
    ):
        audit = audited(tmp_path / str(number), text)
        assert not [one for one in audit.findings.items if one.rule == "loop-conflict"]
    both = thrown.replace("t12:x clutch:x,lever=out", "t12:x clutch:x,lever=in")
    audit = audited(tmp_path / "both", both)
    assert [one for one in audit.findings.items if one.rule == "loop-conflict"]
    assert not found(audit)


def chains(count: int, length: int, *, torque: int = 1) -> Audit:
    """A trunk of shafts; on each hangs a chain of clutches with a machine behind each clutch."""
    pieces = [Piece(mover(8, torque=torque))] + [PLAIN_SHAFT] * count
    couplings = [(row, row + 1, 1, -1, -1) for row in range(count)]
    for chain in range(count):
        before = chain + 1
        for link in range(length):
            first = len(pieces)
            pieces += [clutch(), PLAIN_SHAFT, Piece(machine(link + 1))]
            couplings += [
                (before, first, 1, -1, -1),
                (first, first + 1, 1, 1, -1),
                (first + 1, first + 2, 1, -1, -1),
            ]
            before = first + 1
    return hall(pieces, couplings)


def test_twenty_switches_in_pieces_of_five_are_explored_in_full_at_the_cost_of_the_pieces():
    assembly = only(chains(4, 5, torque=1000))
    assert (assembly.states, assembly.extent) == (2**20, "all")
    assert assembly.solved <= 4 * 2**5 + 2
    # The worst demands of the pieces add up: 4 × (1 + 2 + 3 + 4 + 5) at 8 rpm.
    assert assembly.demand is not None
    assert assembly.demand.amount == 4 * 15 * 8
    assert len(assembly.demand.throws) == 20


@pytest.mark.parametrize("count", [2, 4, 8, 16])
def test_the_cost_grows_with_the_pieces_and_not_with_the_states(count):
    assembly = only(chains(count, 5, torque=1000))
    assert assembly.extent == "all"
    assert assembly.solved <= count * 2**5 + 2


def test_the_fewest_clutches_that_overload_a_trunk_are_named_the_first_of_equals():
    # A chain engaged to its fifth machine asks for 1 + 2 + 3 + 4 + 5 = 15 a rpm with five throws,
    # and no other way asks for as much with so few: 30 takes ten throws, in two of the chains.
    assembly = only(chains(4, 5, torque=29))
    (finding,) = assembly.found
    assert finding.rule == "overload"
    assert (finding.measured, finding.limit) == (30 * 8, 29 * 8)
    assert len(finding.throws) == 10
    # The two chains that come first.
    assert [throw.at.x for throw in finding.throws] == [5 + 3 * link for link in range(10)]


def test_equal_is_full_and_not_overloaded_in_any_state():
    assert found(chains(2, 2, torque=6)) == []
    assert [rule for rule, _ in found(chains(2, 2, torque=5))] == ["overload"]


def test_what_holds_as_the_save_is_is_not_told_again(tmp_path):
    # Overloaded in every state of its clutch.
    assert (
        found(
            audited(
                tmp_path,
                "wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x clutch:x,lever=in lathe:x",
            )
        )
        == []
    )


def test_a_mover_that_is_stopped_leaves_too_little(tmp_path):
    text = "wheel:e lathe:x lathe:x tread:e,walkers=3 lathe:x"
    # Of 256 + 4 × 36 = 400: the treadwheel is dragged at 8 rpm; 3 × 8 × 8 = 192.
    assert found(audited(tmp_path, text)) == []
    text = text.replace("lathe:x tread", "lathe:x lathe:x tread")
    text = f"{text} lathe:x"
    assert found(audited(tmp_path / "more", text)) == [("overload", ((6, 64, 2),))]


def test_a_setting_says_how_many_walk_and_not_only_whether_some_do(tmp_path):
    # 4 rpm × (8 + 8) is 64: 36 and 24 a rpm suffice, 12 do not.
    assembly = only(audited(tmp_path, "tread:e,walkers=3 lathe:x lathe:x"))
    (finding,) = assembly.found
    assert [(one.property, one.before, one.value) for one in finding.throws] == [
        ("walkers", "3", "1")
    ]
    assert (assembly.movers, assembly.states) == (1, 4)


def test_movers_are_left_alone_where_all_are_taken_to_be_active(tmp_path):
    policy = Policy(assume_active=True)
    assert explore_switches(audited(tmp_path, "tread:e lathe:x", policy=policy)).assemblies == ()


def test_a_switch_that_nothing_depends_on_is_counted_and_left_alone(tmp_path):
    switching = explore_switches(audited(tmp_path, "wheel:e clutch:x,lever=out"))
    assert (switching.assemblies, switching.idle) == ((), 1)


def test_every_rule_for_errors_is_judged_in_other_states():
    assert {rule.name for rule in RULES if rule.level is Level.ERROR} == JUDGED


def test_a_save_without_parts_has_nothing_to_throw(tmp_path):
    switching = explore_switches(audited(tmp_path, "."))
    assert (switching.assemblies, switching.idle, switching.fixed) == ((), 0, 0)


def overloadable(**given: object) -> Audit:
    return hall(
        [Piece(mover(8, torque=4)), clutch(), Piece(machine(8))],
        [(0, 1, 1, -1, 1), (1, 2, 1, -1, -1)],
        **given,  # type: ignore[arg-type]
    )


def test_in_a_cut_network_an_overload_of_another_state_is_a_note_as_far_as_read():
    ((finding,),) = (one.found for one in explore_switches(overloadable()).assemblies)
    assert (finding.level, finding.certain) == (Level.ERROR, "in another switch state")
    (assembly,) = explore_switches(overloadable(cut=[2])).assemblies
    (finding,) = assembly.found
    assert finding.level is Level.NOTE
    assert finding.certain == "in another switch state, as far as read"
    assert assembly.cut


def test_a_finding_is_told_of_the_saved_network_whose_drive_it_stops():
    audit = overloadable()
    ((finding,),) = (one.found for one in explore_switches(audit).assemblies)
    assert finding.network == audit.networks.network[0]
    assert finding.at is not None
    assert audit.networks.network[finding.at.x] != finding.network


def test_only_assemblies_with_a_network_that_was_asked_about_are_explored(tmp_path):
    text = "wheel:e clutch:x,lever=out lathe:x lathe:x lathe:x lathe:x lathe:x\n.\n.\n" * 2
    audit = audited(tmp_path, text)
    assert len(explore_switches(audit).assemblies) == 2
    corner = audit.parts.block_at(0)
    chosen = select_networks(audit.parts, audit.networks, (corner, corner))
    asked = Audit(**{**vars(audit), "selected": chosen})
    (assembly,) = explore_switches(asked).assemblies
    assert all(chosen[one.network] for one in assembly.found)
    assert assembly.found


def test_names_of_findings_of_other_states_are_their_own():
    audit = hall(
        [
            Piece(mover(8, torque=1)),
            Piece(machine(2)),
            clutch(),
            Piece(mover(8, torque=1)),
            Piece(machine(1)),
        ],
        [(0, 1, 1, -1, -1), (1, 2, 1, -1, 1), (2, 3, 1, -1, -1), (3, 4, 1, -1, -1)],
    )
    (saved,) = [one for one in audit.findings.items if one.rule == "overload"]
    ((finding,),) = (one.found for one in explore_switches(audit).assemblies)
    # The second hall's own drive stops with the first, whose network keeps its anchor.
    assert finding.network == audit.networks.network[3]
    assert finding.fingerprint != saved.fingerprint


def line_of_clutches(count: int) -> Audit:
    pieces: list[Piece] = [Piece(mover(8, torque=4))]
    for _ in range(count):
        pieces += [clutch(), Piece(machine(1))]
    last = len(pieces) - 1
    couplings = [(row, row + 1, 1, 1 if row % 2 else -1, -1) for row in range(last)]
    # One ring round all, so that it does not fall apart.
    couplings.append((0, last, 1, -1, -1))
    return hall(pieces, couplings)


@pytest.mark.parametrize(
    ("most", "extent", "solved"),
    [
        (2**14, "all", 2**14),
        (2**14 - 1, "doubles", 1 + 14 + 91),
        (105, "singles", 15),
        (14, "none", 1),
    ],
)
def test_beyond_the_most_states_those_close_to_the_saves_are_looked_at(most, extent, solved):
    assembly = only(line_of_clutches(14), most_states=most)
    assert (assembly.extent, assembly.states) == (extent, 2**14)
    assert assembly.solved in (solved, solved + 1 + len({one.throws for one in assembly.found}))
    assert (assembly.bound is None) == (extent == "all")
    if assembly.bound is not None:
        assert assembly.bound.demand == 14 * 8
        assert (assembly.bound.capacity, assembly.bound.speed) == (32, 8)


def test_a_network_of_very_many_switches_falls_to_the_bound_at_once():
    assembly = only(line_of_clutches(4000))
    assert (assembly.extent, assembly.states, assembly.solved) == ("none", None, 1)
    assert assembly.bound is not None
    assert assembly.bound.demand == 4000 * 8


def test_the_order_in_which_findings_are_told_is_fewest_throws_first():
    counts = [len(one.throws) for one in _many().found]
    assert counts == sorted(counts)
    assert len(counts) == len({_name(one) for one in _many().found})


def test_more_findings_than_are_listed_are_counted():
    assembly = _many()
    assert len(assembly.found) == 50
    assert assembly.more == 10


@cache
def _many() -> Assembly:
    """A trunk with sixty clutches, behind each a mover of the other sense."""
    pieces = [Piece(mover(8))] + [PLAIN_SHAFT] * 60
    couplings = [(row, row + 1, 1, -1, -1) for row in range(60)]
    for shaft in range(1, 61):
        first = len(pieces)
        pieces += [clutch(), Piece(mover(-8))]
        couplings += [(shaft, first, 1, -1, 1), (first, first + 1, 1, -1, -1)]
    return only(hall(pieces, couplings))


def _name(finding: Finding) -> str:
    return finding.fingerprint


def test_states_do_not_depend_on_what_else_there_is():
    alone, many = (
        only(chains(2, 3, torque=5)),
        hall(
            *_twice(
                [Piece(mover(8, torque=4)), clutch(), Piece(machine(8))],
                [(0, 1, 1, -1, 1), (1, 2, 1, -1, -1)],
            )
        ),
    )
    one, two = explore_switches(many).assemblies
    assert [len(found.throws) for found in (*one.found, *two.found)] == [1, 1]
    assert np.diff([found.at.x for found in (*one.found, *two.found)]).tolist() == [3]
    assert alone.extent == "all"


def _twice(pieces: list[Piece], couplings: list[tuple]) -> tuple[list[Piece], list[tuple]]:
    moved = [(a + len(pieces), b + len(pieces), *rest) for a, b, *rest in couplings]
    return pieces * 2, [*couplings, *moved]


def locked_piece(first: int, at: int) -> tuple[list[Piece], list[tuple]]:
    """A clutch that is in, and behind it a ring that contradicts itself; hung on a part."""
    pieces = [clutch(engaged=True), PLAIN_SHAFT, PLAIN_SHAFT, PLAIN_SHAFT]
    return pieces, [
        (at, first, 1, -1, 1),
        (first, first + 1, 1, -1, -1),
        (first + 1, first + 2, 1, -1, -1),
        (first + 2, first + 3, 1, -1, -1),
        (first + 1, first + 3, -1, -1, -1),
    ]


def branches(pieces: list[Piece], couplings: list[tuple]) -> tuple[list[Piece], list[tuple]]:
    """Hang clutches on a hall's first part, each with two more and a machine behind."""
    for _ in range(3):
        first = len(pieces)
        pieces = [*pieces, clutch(), clutch(), clutch(), Piece(machine(1))]
        couplings = [
            *couplings,
            (0, first, 1, -1, 1),
            (first, first + 1, 1, 1, -1),
            (first + 1, first + 2, 1, 1, -1),
            (first + 2, first + 3, 1, 1, -1),
        ]
    return pieces, couplings


def test_what_a_locked_piece_hides_is_found_once_it_is_uncoupled():
    pieces, couplings = branches([Piece(mover(8)), Piece(mover(-8))], [(0, 1, 1, -1, -1)])
    locked, joints = locked_piece(len(pieces), 1)
    audit = hall([*pieces, *locked], [*couplings, *joints])
    assert [one.rule for one in audit.findings.items if one.level is Level.ERROR] == [
        "loop-conflict"
    ]
    assert only(audit).pieces >= 2
    assert found(audit) == [("mover-conflict", ((len(pieces), 64, 0),))]


def test_a_zone_whose_movers_clash_does_not_ask_what_locks_the_next_zone():
    # A governor drives a zone with a locked piece; in its own zone a resting mover pushes back.
    pieces, couplings = branches(
        [Piece(mover(8)), Piece(mover(-8), lit="no"), Piece(governor(4)), PLAIN_SHAFT],
        [(0, 1, 1, -1, -1), (1, 2, 1, -1, -1)],
    )
    locked, joints = locked_piece(len(pieces), 3)
    audit = hall([*pieces, *locked], [*couplings, *joints], [(2, 3, 1)])
    assert only(audit).pieces >= 2
    assert found(audit) == [("mover-conflict", ((1, 64, 0),))]


def test_each_drive_that_stops_is_told_with_the_fewest_throws_for_itself():
    pieces = [
        Piece(mover(8, torque=4)),
        Piece(machine(3)),
        clutch(),
        Piece(machine(6)),
        Piece(mover(8, torque=6)),
        Piece(machine(9)),
        clutch(),
    ]
    # The second hall asks for more than it gives only with the machine behind its own clutch.
    couplings = [(0, 1, 1, -1, -1), (1, 2, 1, -1, 1), (2, 3, 1, -1, -1), (3, 4, 1, -1, -1)]
    couplings += [(4, 6, 1, -1, 1), (5, 6, 1, -1, -1)]
    assert found(hall(pieces, couplings)) == [
        ("overload", ((6, 64, 0),)),
        ("overload", ((2, 64, 0), (6, 64, 0))),
    ]


def test_one_report_does_not_depend_on_the_hash_seed(tmp_path):
    save = save_of(tmp_path, sketch(RING), manner=PLAIN)
    command = [sys.executable, "-m", "analyzer.cli.main", "audit", str(save), "--catalogue"]
    command += ["quayworks", "--switches", "--format", "json"]
    told = {
        subprocess.run(
            command, capture_output=True, check=False, env={**os.environ, "PYTHONHASHSEED": seed}
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(told) == 1
    assert b"in another switch state" in told.pop()
