"""The audit for people: readable at 80 columns, without colour, and bounded."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.report.audit_text import iter_audit_text
from analyzer.report.lookup import block_name_at
from analyzer.save.scan.scan import Coverage, Fault
from tests.support.demo import demo_audit
from tests.support.mechanism import SHAFT, audit_of, governor, machine, mechanism, mover, scan_of

ONE = Fraction(1)


def text_of(audit: Audit) -> str:
    return "".join(iter_audit_text(audit, save="world"))


def test_no_line_of_the_demo_is_wider_than_80_columns() -> None:
    assert max(map(len, text_of(demo_audit()).splitlines())) <= 80


def test_no_line_ends_in_blanks_and_every_character_prints() -> None:
    for line in text_of(demo_audit()).splitlines():
        assert line == line.rstrip()
        assert line.isprintable()


def test_places_come_as_commands_that_the_game_takes() -> None:
    text = text_of(demo_audit())
    commands = re.findall(r"^ +(/execute .*)$", text, re.M)
    assert set(commands) >= {
        f"/execute in {one.dimension} run tp @s {one.at.x} {one.at.y} {one.at.z}"
        for one in demo_audit().findings.items
        if one.at
    }


def test_a_bare_region_folder_has_no_dimension_to_enter() -> None:
    parts = [replace(part, dimension="unnamed") for part in (mover(8), machine(40))]
    text = text_of(audit_of(mechanism(parts, [(0, 1, ONE)])))
    assert "\n           /tp @s 1 64 0\n" in text


def test_findings_say_what_stands_there() -> None:
    text = text_of(audit_of(mechanism([mover(8), machine(40)], [(0, 1, ONE)])))
    assert "where  sketch:machine at 1 64 0\n" in text


def test_a_network_that_is_cut_says_where() -> None:
    text = text_of(audit_of(mechanism([mover(8), machine(40)], [(0, 1, ONE)], cut=[1])))
    assert "\n  cut at 1 64 0 towards 1 64 -1: unreadable\n" in text
    assert "  note: overload, as far as read\n" in text


def test_a_long_table_of_networks_is_cut_off_with_a_way_to_see_all() -> None:
    text = text_of(audit_of(mechanism([SHAFT] * 50)))
    assert "  ... and 30 more. All of them, with the same options:\n" in text
    assert "  lineshaft networks world --most 50\n" in text


def test_the_largest_networks_come_first() -> None:
    couplings = [(2, 3, ONE), (3, 4, ONE), (0, 1, ONE)]
    text = text_of(audit_of(mechanism([SHAFT] * 6, couplings)))
    sizes = re.findall(r"^ +(\d+)  idle", text, re.M)
    assert sizes == ["3", "2", "1"]


def test_a_long_witness_is_told_by_its_ends() -> None:
    ring = [(i, i + 1, Fraction(-1)) for i in range(98)] + [(0, 98, Fraction(-1))]
    text = text_of(audit_of(mechanism([SHAFT] * 99, ring)))
    assert "... 87 more ..." in text
    assert "99 parts stand in a loop" in text


def test_steps_through_a_governed_port_are_marked_in_a_witness() -> None:
    parts = [mover(8), governor(5), SHAFT]
    couplings = [(0, 1, ONE), (1, 2, Fraction(2))]
    text = text_of(audit_of(mechanism(parts, couplings, governed=[(1, 2, ONE)])))
    assert re.search(r"^ +loop +at .*\n +1 64 0 .* sets 1\n +2 64 0 .* 1/2\n +next ", text, re.M)


def test_a_long_list_of_faults_is_cut_off() -> None:
    faults = tuple(
        Fault("a:b", f"region/r.{number}.0.mca", None, "no-permission", "x") for number in range(30)
    )
    text = text_of(audit_of(mechanism([], scan=scan_of(coverage=Coverage((), faults)))))
    assert "  ... and 10 more. All of them: --format json\n" in text


def test_an_audit_that_finds_nothing_says_so() -> None:
    assert "Nothing is wrong with what was read and is known.\n" in text_of(
        audit_of(mechanism([SHAFT]))
    )
    assert "There was no network to judge.\n" in text_of(audit_of(mechanism([])))


def test_the_games_own_block_entities_do_not_hide_others() -> None:
    unknown = [(f"minecraft:e{number}", 1000) for number in range(20)] + [("ropery:reel", 1)]
    text = text_of(audit_of(mechanism([SHAFT], scan=scan_of(unknown=unknown))))
    assert "ropery:reel 1; 20,000" in text


def test_a_save_that_is_open_elsewhere_is_told_so() -> None:
    case = mechanism([SHAFT])
    facts = replace(case.scan.facts, open_elsewhere=True)
    text = text_of(audit_of(replace(case, scan=replace(case.scan, facts=facts))))
    assert "another program holds this save open" in text


@pytest.mark.parametrize("title", ["\x1b[2J", "a\rb"])
def test_a_worlds_name_cannot_steer_the_terminal(title: str) -> None:
    case = mechanism([SHAFT])
    facts = replace(case.scan.facts, title=title)
    text = text_of(audit_of(replace(case, scan=replace(case.scan, facts=facts))))
    assert text.replace("\n", "").isprintable()


def test_the_part_at_a_position_is_found_and_no_other() -> None:
    parts = demo_audit().parts
    for row in range(len(parts)):
        dimension = parts.dimensions[int(parts.dimension[row])]
        name = parts.catalogues.types[int(parts.type[row])].block
        assert block_name_at(parts, dimension, parts.block_at(row)) == name
    assert block_name_at(parts, "minecraft:overworld", Block(0, 0, 0)) is None
    assert block_name_at(parts, "no:where", parts.block_at(0)) is None
