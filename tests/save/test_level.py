"""The world's name, made fit to be shown."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.save.files.level import Level, clean_text, read_level
from tests.save.nbt_bytes import Tag, byte, compound, integer, list_of, text, tree


def written(folder: Path, root: Tag) -> Path:
    (folder / "level.dat").write_bytes(gzip.compress(tree(root)))
    return folder


@pytest.mark.parametrize(
    ("stored", "shown"),
    [
        ("§6Tidal §lquay§r", "Tidal quay"),
        ("quay\x1b[31m\r\n\tend", "quay[31mend"),
        ("a\u202egnp.\u2066b\u200f", "agnp.b"),
        ("\u2028line\u2029", "line"),
        ("§", ""),
        ("  hafen 🐟 港  ", "hafen 🐟 港"),
        ("\ud83d lone", "lone"),
    ],
)
def test_colours_controls_and_directional_marks_are_taken_out(stored: str, shown: str) -> None:
    assert clean_text(stored) == shown


def test_name_and_version_are_found_among_other_things(tmp_path: Path) -> None:
    data = compound(
        Player=compound(Inventory=list_of(compound(id=text("x")))),
        LevelName=text("§aSlipway"),
        DataVersion=integer(3955),
    )
    root = compound(FML=compound(LevelName=text("no")), Data=data)
    assert read_level(written(tmp_path, root), Limits()) == (Level("Slipway", 3955), ())


def test_a_level_without_a_usable_name_has_none(tmp_path: Path) -> None:
    root = compound(Data=compound(LevelName=text("§a"), DataVersion=byte(7)))
    assert read_level(written(tmp_path, root), Limits()) == (Level(None, 7), ())


def test_no_level_at_all_is_no_fault(tmp_path: Path) -> None:
    assert read_level(tmp_path, Limits()) == (Level(None, None), ())


def test_a_level_larger_than_the_limit_is_a_fault(tmp_path: Path) -> None:
    written(tmp_path, compound(Data=compound(LevelName=text("x" * 5000))))
    _, faults = read_level(tmp_path, Limits(inflated_bytes=1000))
    assert [fault.reason for fault in faults] == ["too-large"]


@pytest.mark.parametrize("content", [b"", b"\x1f\x8b", gzip.compress(b"\x0a\x00\x00\x0d")])
def test_a_damaged_level_is_a_fault(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "level.dat").write_bytes(content)
    level, faults = read_level(tmp_path, Limits())
    assert level == Level(None, None)
    assert [(fault.file, fault.chunk) for fault in faults] == [("level.dat", None)]
