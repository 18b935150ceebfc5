"""Drawing a network from the command line."""

from __future__ import annotations

import sys
from pathlib import Path
from unittest import mock

import pytest

from tests.support.command import lineshaft
from tests.support.demo import demo_save

OPTIONS = ("--catalogue", "quayworks", "--no-cache", "--allow-unread")
GEARS = ("--network", "17,64,22")


def draw(output: Path, *more: str) -> int:
    return lineshaft("draw", demo_save(), *OPTIONS, *GEARS, "--output", output, *more).status


@pytest.mark.parametrize("view", ["plan", "elevation", "power"])
def test_the_end_of_the_file_says_what_is_written(tmp_path: Path, view: str) -> None:
    assert draw(tmp_path / "gears.svg", "--view", view) == 0
    assert (tmp_path / "gears.svg").read_text("utf-8").startswith("<?xml")
    assert draw(tmp_path / "gears.PNG", "--view", view) == 0
    assert (tmp_path / "gears.PNG").read_bytes().startswith(b"\x89PNG")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["gears.PNG", "gears.svg"]


def test_another_end_is_refused_before_the_save_is_read(tmp_path: Path) -> None:
    done = lineshaft("draw", tmp_path / "none", *GEARS, "--output", tmp_path / "gears.pdf")
    assert done.status == 2
    assert "FILE.svg" in done.err
    assert lineshaft("draw", tmp_path / "none", *GEARS).status == 2


def test_a_picture_is_never_written_into_a_save() -> None:
    for name in ("gears.svg", "gears.png"):
        assert draw(demo_save() / name) == 2
        assert not (demo_save() / name).exists()


def test_a_network_that_is_none_is_wrong_usage(tmp_path: Path) -> None:
    done = lineshaft(
        "draw", demo_save(), *OPTIONS, "--network", "1,2,3", "--output", tmp_path / "x.svg"
    )
    assert done.status == 2
    assert "no network '1,2,3'" in done.err


def test_without_pillow_a_png_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with mock.patch.dict(sys.modules, {"PIL": None}):
        done = lineshaft("draw", demo_save(), *OPTIONS, *GEARS, "--output", tmp_path / "gears.png")
    assert done.status == 2
    assert "lineshaft[png]" in done.err
    assert not (tmp_path / "gears.png").exists()
