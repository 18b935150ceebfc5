"""Every rule: a mechanism that shows it and, where it has a limit, just below, on and above it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from analyzer.base.place import Block, Chunk
from analyzer.base.policy import Level, Policy
from analyzer.findings.findings import Finding
from analyzer.findings.rules.mover_conflict import find_mover_conflicts
from analyzer.networks.group import group_networks
from analyzer.save.scan.scan import Coverage, Fault
from analyzer.solution.solve import solve_networks
from tests.support.mechanism import (
    OVERWORLD,
    SHAFT,
    Part,
    at,
    audit_of,
    machine,
    mechanism,
    mover,
    scan_of,
)

SHAFTED = Fraction(1)
MESH = Fraction(-1)


#: The rules of this file; the others have files of their own.
HERE = (
    "loop-conflict",
    "mover-conflict",
    "no-catalogue",
    "nothing-known",
    "out-of-range",
    "over-speed",
    "overload",
    "unread-chunks",
)


def judge(*args: object, **more: object) -> tuple[Finding, ...]:
    found = audit_of(mechanism(*args, **more)).findings.items  # type: ignore[arg-type]
    return tuple(one for one in found if one.rule in HERE)


def row(*parts: Part) -> tuple[list[Part], list[tuple[int, int, Fraction]]]:
    """Join parts end to end in one line."""
    return list(parts), [(i, i + 1, SHAFTED) for i in range(len(parts) - 1)]


# --- overload


@pytest.mark.parametrize(("machines", "rules"), [(3, []), (4, []), (5, ["overload"])])
def test_a_mover_carries_four_machines_and_a_fifth_overloads_it(
    machines: int, rules: list[str]
) -> None:
    # Common practice, no source: torque 32 at 8 rpm gives 256, a machine of torque 8 asks 64.
    found = judge(*row(mover(8), *[machine(8)] * machines))
    assert [one.rule for one in found] == rules


def test_an_overload_names_demand_capacity_and_the_most_demanding_machines_first() -> None:
    (found,) = judge(*row(mover(8), machine(8), SHAFT, machine(30), machine(0), machine(8)))
    assert (found.measured, found.limit, found.unit) == (368, 256, "hands")
    assert (found.at, found.also) == (at(3)[0], at(1, 5))
    assert (found.count, found.level, found.certain) == (3, Level.ERROR, "yes")


def test_an_overload_in_a_cut_network_is_a_note_as_far_as_read() -> None:
    (found,) = judge(*row(mover(8), machine(40)), cut=[1])
    assert (found.level, found.certain) == (Level.NOTE, "as far as read")


def test_a_finding_names_as_many_places_as_the_policy_allows() -> None:
    (found,) = judge(*row(mover(1), *[machine(8)] * 9), policy=Policy(worst_places=3))
    assert (found.count, found.at, found.also) == (9, at(1)[0], at(2, 3))


# --- over-speed


@pytest.mark.parametrize(
    ("rpm", "rules"),
    [
        (Fraction(25599, 100), []),
        (Fraction(256), []),
        (Fraction(25601, 100), ["over-speed"]),
        (Fraction(-25601, 100), ["over-speed"]),
    ],
)
def test_a_part_may_turn_at_its_limit_and_not_above(rpm: Fraction, rules: list[str]) -> None:
    found = judge(*row(mover(rpm), Part(limit=256)))
    assert [one.rule for one in found] == rules
    assert [(one.measured, one.limit, one.unit) for one in found] == [
        (abs(rpm), Fraction(256), "rpm")
    ] * len(rules)


def test_over_speed_is_one_finding_with_the_fastest_places_first() -> None:
    parts = [mover(8), *[Part(limit=16)] * 6]
    doubling = [(i, i + 1, Fraction(-2)) for i in range(6)]
    (found,) = judge(parts, doubling)
    assert (found.count, found.measured, found.limit) == (5, 512, 16)
    assert (found.at, found.also) == (at(6)[0], at(5, 4, 3, 2))


def test_of_equal_speeds_the_one_with_the_lower_limit_comes_first() -> None:
    (found,) = judge(*row(mover(8), Part(limit=4), Part(limit=2), Part(limit=4)))
    assert (found.at, found.also, found.limit) == (at(2)[0], at(1, 3), Fraction(2))


def test_the_users_limit_stands_in_place_of_the_catalogues() -> None:
    line = row(mover(8), Part(limit=4))
    assert judge(*line, policy=Policy(speed_limit_rpm=Fraction(8))) == ()
    (found,) = judge(*line, policy=Policy(speed_limit_rpm=Fraction(7)))
    assert (found.count, found.limit) == (2, 7)


def test_over_speed_in_a_cut_network_is_one_level_lower() -> None:
    (found,) = judge(*row(mover(8), Part(limit=4)), cut=[0])
    assert (found.level, found.certain) == (Level.WARNING, "as far as read")


def test_an_overloaded_network_is_judged_on_the_speeds_it_would_have() -> None:
    found = judge(*row(mover(8), Part(limit=4), machine(40)))
    assert [one.rule for one in found] == ["over-speed", "overload"]


def test_an_idle_network_has_no_speed_to_judge() -> None:
    assert judge(*row(mover(0), Part(limit=4))) == ()


# --- loop-conflict (see also test_loops)


def test_a_loop_conflict_stands_in_a_cut_network() -> None:
    ring = [(0, 1, MESH), (1, 2, MESH), (0, 2, MESH)]
    (found,) = judge([mover(8), SHAFT, SHAFT], ring, cut=[0])
    assert (found.rule, found.level, found.certain) == ("loop-conflict", Level.ERROR, "yes")


# --- mover-conflict


def test_movers_that_push_opposite_ways_are_shown_with_the_path_between_them() -> None:
    (found,) = judge(*row(mover(8), SHAFT, mover(-8)))
    assert found.witness is not None
    assert found.rule == "mover-conflict"
    assert (found.witness.kind, found.witness.parts) == ("path", at(0, 1, 2))
    assert (found.measured, found.limit, found.unit) == (8, -8, "rpm")
    assert (found.at, found.also, found.count) == (at(0)[0], at(2), 2)


def test_movers_either_side_of_a_mesh_agree_if_their_own_senses_differ() -> None:
    assert judge([mover(8), mover(-8)], [(0, 1, MESH)]) == ()


def test_of_several_pairs_the_nearest_movers_are_shown() -> None:
    line = row(mover(8), SHAFT, SHAFT, mover(-8), SHAFT, mover(8))
    (found,) = judge(*line)
    assert found.witness is not None
    assert found.witness.parts == at(3, 4, 5)
    assert found.count == 3


def test_unequal_movers_of_one_sense_agree_unless_the_catalogue_says_otherwise() -> None:
    assert judge(*row(mover(8), SHAFT, mover(4))) == ()
    (found,) = judge(*row(mover(8, strict=True), SHAFT, mover(4, strict=True)))
    assert (found.rule, found.measured, found.limit) == ("mover-conflict", 8, 4)


@pytest.mark.parametrize(("rated", "rules"), [(8, []), (9, ["mover-conflict"])])
def test_the_users_rule_for_unequal_movers_stands_in_place_of_the_catalogues(
    rated: int, rules: list[str]
) -> None:
    found = judge(*row(mover(8), mover(rated)), policy=Policy(unequal_movers="conflict"))
    assert [one.rule for one in found] == rules


def test_a_mover_conflict_stands_in_a_cut_network() -> None:
    (found,) = judge(*row(mover(8), mover(-8)), cut=[1])
    assert (found.level, found.certain) == (Level.ERROR, "yes")


def test_a_coupling_that_is_not_engaged_is_on_no_path() -> None:
    # The two movers meet directly only when a switch is on that neither of them has.
    line = [(0, 1, SHAFTED), (1, 2, SHAFTED), (0, 2, SHAFTED)]
    case = mechanism([mover(8), SHAFT, mover(-8)], line)
    direct = (case.couplings.a == 0) & (case.couplings.b == 2)
    guard = np.where(direct, 1, case.couplings.guard_a).astype(np.int8)
    couplings = replace(case.couplings, guard_a=guard)
    networks = group_networks(case.parts, couplings)
    solution = solve_networks(case.parts, couplings, networks, case.policy)
    case = replace(case, couplings=couplings, networks=networks, solution=solution)
    (found,) = find_mover_conflicts(case, Level.ERROR)
    assert found.witness is not None
    assert found.witness.parts == at(0, 1, 2)


# --- out-of-range


@pytest.mark.parametrize(("doublings", "rules"), [(255, []), (256, []), (257, ["out-of-range"])])
def test_speeds_may_spread_over_256_doublings_and_not_more(
    doublings: int, rules: list[str]
) -> None:
    parts = [mover(8), *[SHAFT] * doublings]
    found = judge(parts, [(i, i + 1, Fraction(2)) for i in range(doublings)])
    assert [one.rule for one in found] == rules
    for one in found:
        assert (one.measured, one.limit, one.unit) == (257, 256, "doublings")
        assert (one.at, one.also) == (at(257)[0], at(0))


# --- unread-chunks, nothing-known, no-catalogue


def test_unread_chunks_and_files_are_one_finding_a_dimension() -> None:
    faults = (
        Fault("", "level.dat", None, "bad-gzip-stream", "the stream ends early"),
        Fault("a:b", "region/r.0.0.mca", Chunk(2, -1), "bad-zlib-stream", "x", 8192),
        Fault("a:b", "region/r.0.0.mca", Chunk(1, 3), "bad-zlib-stream", "x", 12288),
        Fault("a:b", "region/r.0.1.mca", None, "no-permission", "x"),
    )
    whole, part = judge([], scan=scan_of(coverage=Coverage((), faults)))
    assert (whole.rule, whole.dimension, whole.count) == ("unread-chunks", "", 1)
    assert (part.rule, part.dimension, part.count) == ("unread-chunks", "a:b", 3)
    assert (part.at, part.also) == (None, (Block(16, 0, 48), Block(32, 0, -16)))
    assert part.names == (("bad-zlib-stream", 2), ("no-permission", 1))
    assert part.level == Level.WARNING


def test_a_save_without_a_part_names_the_namespaces_that_nothing_knows() -> None:
    unknown = [("b:crane", 2), ("Chest", 4), ("minecraft:chest", 9), ("a:reel", 1), ("a:vat", 1)]
    (found,) = judge([], scan=scan_of(unknown=unknown))
    assert (found.rule, found.names, found.count) == ("nothing-known", (("a", 2), ("b", 2)), 4)


def test_a_save_of_the_games_own_blocks_alone_has_nothing_to_be_known() -> None:
    assert judge([], scan=scan_of(unknown=[("minecraft:chest", 9)])) == ()


def test_where_one_part_is_known_the_unknown_ones_are_no_finding() -> None:
    assert judge([SHAFT], scan=scan_of(unknown=[("a:reel", 1)])) == ()


def test_an_audit_without_a_catalogue_says_so() -> None:
    found = judge([], scan=scan_of(unknown=[("a:reel", 1)]), catalogues=False)
    assert [one.rule for one in found] == ["no-catalogue", "nothing-known"]


# --- all of them


def test_levels_follow_the_policy() -> None:
    line = row(mover(8), machine(40), Part(limit=4))
    found = judge(*line, policy=Policy(levels={"overload": Level.WARNING}))
    assert [(one.rule, one.level) for one in found] == [
        ("over-speed", Level.ERROR),
        ("overload", Level.WARNING),
    ]


def test_networks_not_asked_about_have_no_findings() -> None:
    parts = [mover(8), machine(40), mover(8), machine(40)]
    assert [one.network for one in judge(parts, [(0, 1, SHAFTED), (2, 3, SHAFTED)])] == [0, 1]
    (found,) = judge(parts, [(0, 1, SHAFTED), (2, 3, SHAFTED)], selected=[1])
    assert found.network == 1


def test_a_fingerprint_outlives_parts_added_beyond_the_witness() -> None:
    ring = [(0, 1, MESH), (1, 2, MESH), (0, 2, MESH)]
    (before,) = judge([SHAFT] * 3, ring)
    (after,) = judge([SHAFT] * 4, [*ring, (2, 3, MESH)])
    assert before.fingerprint == after.fingerprint


def test_findings_of_one_rule_in_different_places_have_different_fingerprints() -> None:
    parts = [mover(8), machine(40), mover(8), machine(40)]
    one, other = judge(parts, [(0, 1, SHAFTED), (2, 3, SHAFTED)])
    assert one.fingerprint != other.fingerprint


def test_an_empty_save_has_no_findings() -> None:
    assert judge([]) == ()


def test_networks_lie_in_the_dimension_that_findings_name() -> None:
    below = "minecraft:the_nether"
    parts = [mover(8), machine(40), mover(8, dimension=below), machine(40, dimension=below)]
    found = judge(parts, [(0, 1, SHAFTED), (2, 3, SHAFTED)])
    assert [one.dimension for one in found] == [OVERWORLD, below]
