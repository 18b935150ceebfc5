"""``lineshaft advise`` on a command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.support.command import lineshaft
from tests.support.demo import demo_save
from tests.support.schemas import check_document


def advise(*more: object) -> tuple[int, str, str]:
    done = lineshaft("advise", demo_save(), "--catalogue", "quayworks", "--no-cache", *more)
    return done.status, done.out, done.err


def test_remedies_are_told_and_the_status_does_not_count_findings() -> None:
    status, out, err = advise("--allow-unread")
    assert (status, err) == (0, "")
    assert "error: overload at 4 64 24" in out
    assert "1. put 1 more quayworks:tide_wheel on the shaft of the one at 3 64 24" in out


def test_a_change_is_tried_and_the_save_stays_as_it_is(tmp_path: Path) -> None:
    before = {file: file.read_bytes() for file in demo_save().rglob("*") if file.is_file()}
    status, out, _ = advise("--allow-unread", "--change", "remove 4 64 24", "--format", "json")
    assert status == 0
    trial = check_document(out, "advice")["trial"]
    assert [one["do"] for one in trial["edits"]] == ["remove"]
    assert [one["state"] for one in trial["before"]] == ["overloaded"]
    assert before == {file: file.read_bytes() for file in demo_save().rglob("*") if file.is_file()}
    assert not any(tmp_path.iterdir())


def test_a_dearer_kind_of_change_comes_later() -> None:
    _, out, _ = advise("--format", "json", "--cost", "remove=5", "--cost", "flip=0.5")
    (finding,) = (one for one in json.loads(out)["findings"] if one["rule"] == "mover-conflict")
    kinds = [(one["kind"], one["cost"]["touched_exact"]) for one in finding["remedies"]]
    assert kinds == [("turn-round", "1/2"), ("remove-parts", "5")]


def test_without_steps_no_gears_are_proposed() -> None:
    assert "a pair of gears" in advise()[1]
    assert "a pair of gears" not in advise("--steps", "0")[1]


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--change", "burn 1 2 3"), "A change begins with one of remove, put"),
        (("--change", "remove 0 0 0"), "no part stands at 0 0 0"),
        (("--cost", "flip"), "write KIND=N"),
        (("--cost", "love=2"), "KIND is one of remove, add"),
        (("--network", "here"), "no network has this name"),
        (("--weight", "quayworks:spar_lathe"), "write TYPE=W"),
        (("--weight", "quayworks:tide_wheel=2"), "quayworks:tide_wheel is no machine"),
        (("--weight", "quayworks:spar_lathe=2", "--goal", "even"), "--weight is for"),
        (("--add", "2"), "write NxTYPE"),
        (("--add", "0xquayworks:tide_wheel"), "write NxTYPE"),
        (("--add", "2xquayworks:spar_lathe"), "quayworks:spar_lathe is no mover"),
        (("--change", "remove 4 64 24", "--goal", "even"), "--change goes without"),
    ],
)
def test_what_is_not_understood_ends_with_2(more: tuple[str, ...], says: str) -> None:
    status, out, err = advise(*more)
    assert (status, out) == (2, "")
    assert says in err


def test_one_network_s_spare_power_is_told_with_two_more_movers() -> None:
    name = "minecraft:overworld:3,64,5"
    status, out, _ = advise(
        "--allow-unread", "--network", name, "--add", "2xquayworks:tide_wheel", "--format", "json"
    )
    assert status == 0
    document = check_document(out, "advice")
    assert document["findings"] == []
    (found,) = document["spare"]["networks"]
    assert found["advice"]["edits"][0]["do"] == "alongside"
    assert found["advice"]["worth"] > 32


def test_goals_and_weights_change_what_is_advised() -> None:
    name = "minecraft:overworld:-11,64,10"
    outs = {
        advise("--network", name, *more)[1]
        for more in (
            (),
            ("--goal", "even"),
            ("--slower",),
            ("--weight", "quayworks:kettle_stirrer=0", "--steps", "1"),
        )
    }
    assert len(outs) == 4
    assert all("Spare power of" in out for out in outs)


def test_two_runs_print_the_same() -> None:
    assert advise("--format", "json") == advise("--format", "json")
