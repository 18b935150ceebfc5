"""Hints at parts that are nearly coupled, in small worlds of quayworks parts."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.place import Block
from analyzer.base.policy import Level, Policy
from analyzer.findings.findings import Finding
from analyzer.pipeline.audit import audit_save
from tests.support.saves import save_of
from tests.support.sketch import sketch


@pytest.fixture
def hints(tmp_path: Path):
    def judge(text: str, *, hints: bool = True) -> list[Finding]:
        save = save_of(tmp_path, sketch(text))
        audit = audit_save(save, catalogues=["quayworks"], policy=Policy(hints=hints))
        return [one for one in audit.findings.items if one.rule == "nearly-coupled"]

    return judge


def test_an_end_that_meets_a_face_without_an_end_is_told(hints) -> None:
    (found,) = hints("wheel:e shaft:x shaft:z")
    assert (found.at, found.names, found.count) == (Block(3, 64, 2), (("ends", 1),), 1)
    assert (found.level, found.certain) == (Level.NOTE, "yes")


def test_without_being_asked_for_there_are_no_hints(hints) -> None:
    assert hints("wheel:e shaft:x shaft:z", hints=False) == []


def test_ends_that_are_coupled_or_meet_nothing_are_no_hint(hints) -> None:
    assert hints("wheel:e shaft:x shaft:x") == []
    assert hints("shaft:x . shaft:x") == []


def test_an_end_against_a_part_of_its_own_network_is_no_hint(hints) -> None:
    # The lower trundle's shaft meets the stone, which has none; wheels join both all the same.
    assert hints("t12:x t12:x\nstone:x t12:x") == []
    assert [one.names for one in hints("stone:x t12:x")] == [(("ends", 1),)]


@pytest.mark.parametrize(
    ("plan", "found"),
    [
        # Near rims beside each other mesh; with a cell between, along any axis, they do not.
        ("t12:z t12:z", []),
        ("t12:z . t12:z", [Block(2, 64, 2)]),
        ("t12:z . . t12:z", []),
        # A far rim meshes with a near one diagonally.
        ("b24:z .\n---\n. t12:z", []),
        ("b24:z . .\n---\n. . t12:z", [Block(2, 64, 2)]),
        ("b24:z . .\n---\n. . .\n---\n. . t12:z", []),
        # Far rims at a right angle mesh one step along each axis.
        ("b24:x .\n. b24:z", []),
        ("b24:x . .\n. . b24:z", [Block(2, 64, 2)]),
    ],
)
def test_rims_one_cell_short_of_a_mesh_are_told(hints, plan: str, found: list[Block]) -> None:
    told = [one for one in hints(plan) if dict(one.names).get("rims")]
    assert [one.at for one in told] == found


def test_one_network_has_one_hint_that_counts_ends_and_rims(hints) -> None:
    (found,) = hints("shaft:z shaft:x t12:x\n. . .\n. . t12:x")
    assert dict(found.names) == {"ends": 1, "rims": 1}
    assert (found.count, found.at, found.also) == (2, Block(3, 64, 2), (Block(4, 64, 2),))
