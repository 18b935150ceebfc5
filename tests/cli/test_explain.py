"""Asking one position of a save."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from analyzer.demo.content import Content
from analyzer.demo.write import write_save
from tests.support.command import lineshaft
from tests.support.demo import demo_save
from tests.support.saves import save_of
from tests.support.schemas import check_document
from tests.support.sketch import sketch

OPTIONS = ("--catalogue", "quayworks", "--no-cache", "--allow-unread")


def asked(save: Path, *at: int, options: tuple[str, ...] = ()) -> Any:
    done = lineshaft("explain", save, *at, *OPTIONS, "--format", "json", *options)
    assert done.status == 0, done.err
    return check_document(done.out, "explain")


def test_coordinates_below_zero_are_no_options() -> None:
    found = asked(demo_save(), -28, 64, -10)
    assert (found["at"], found["part"]["cause"]) == ([-28, 64, -10], "movers")


def test_the_speed_is_the_one_that_the_table_of_parts_has() -> None:
    out = lineshaft("parts", demo_save(), *OPTIONS).out.splitlines()[1:]
    for line in out[::9]:
        _, x, y, z, *_ = line.split(",")
        dimension = line.split(",")[0]
        found = asked(demo_save(), int(x), int(y), int(z), options=("--dimension", dimension))
        rpm = found["part"]["rpm_exact"]
        power = found["part"]["power_exact"]
        assert line.endswith(
            f",{rpm or ''},{'' if power is None else found['part']['power']},{power or ''}"
        )


def test_a_clutch_that_is_out_is_what_would_drive_the_part_beyond_it(tmp_path: Path) -> None:
    save = save_of(tmp_path, sketch("wheel:e clutch:x,lever=out lathe:x", at=(0, 64, 0)))
    found = asked(save, 2, 64, 0)
    assert found["part"]["cause"] == "no mover"
    first = found["drivers"][0]
    assert (first["kind"], first["switches"]) == ("switch", [[1, 64, 0]])
    assert [step["at"] for step in first["chain"]] == [[1, 64, 0], [2, 64, 0]]
    assert first["chain"][-1]["rpm"] == 8


def test_a_treadwheel_without_walkers_would_drive_the_part(tmp_path: Path) -> None:
    save = save_of(tmp_path, sketch("tread:e,walkers=0 shaft:x", at=(0, 64, 0)))
    (driver,) = asked(save, 1, 64, 0)["drivers"]
    assert (driver["kind"], driver["at"]) == ("mover", [0, 64, 0])
    driven = asked(save, 1, 64, 0, options=("--assume-active",))
    assert driven["part"]["cause"] == "driven"


def test_a_position_without_a_part_names_the_block_there() -> None:
    done = lineshaft("explain", demo_save(), 1, 64, 1, *OPTIONS)
    assert done.status == 0
    assert "there       minecraft:air\n" in done.out
    assert "nearest     quayworks:tide_wheel at 3 64 5, ~4.5 blocks away\n" in done.out


def test_what_is_no_part_though_it_looks_like_one_says_why() -> None:
    found = asked(demo_save(), -19, 64, 27)
    assert found["there"]["block"] == "quayworks:treadwheel"
    assert "walkers" in found["there"]["no_part"]


def test_parts_at_one_position_of_two_dimensions_need_the_dimension(tmp_path: Path) -> None:
    content = Content(tuple(sketch("wheel:e", at=(0, 64, 0))))
    write_save(tmp_path / "save", {"minecraft:overworld": content, "quayworks:undercroft": content})
    done = lineshaft("explain", tmp_path / "save", 0, 64, 0, *OPTIONS)
    assert done.status == 2
    assert "minecraft:overworld, quayworks:undercroft" in done.err
    assert "--dimension" in done.err
    found = asked(tmp_path / "save", 0, 64, 0, options=("--dimension", "quayworks:undercroft"))
    assert found["dimension"] == "quayworks:undercroft"


@pytest.mark.parametrize("wrong", [("1", "2"), ("1", "2", "3.5"), ("1", "2", "--near"), ()])
def test_a_position_that_is_none_is_wrong_usage(wrong: tuple[str, ...]) -> None:
    assert lineshaft("explain", demo_save(), *wrong).status == 2


def test_something_unread_ends_with_3_unless_allowed() -> None:
    done = lineshaft("explain", demo_save(), 1, 64, 1, "--catalogue", "quayworks", "--no-cache")
    assert done.status == 3
    assert done.out


def test_the_report_can_be_written_to_a_file(tmp_path: Path) -> None:
    target = tmp_path / "why.json"
    lineshaft("explain", demo_save(), 1, 64, 1, *OPTIONS, "--format", "json", "--output", target)
    assert json.loads(target.read_text("utf-8"))["at"] == [1, 64, 1]
