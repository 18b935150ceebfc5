"""Exploring other states of switches on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.support.command import lineshaft
from tests.support.saves import save_of
from tests.support.sketch import sketch

#: A hall that is fine as long as its clutch is out.
HALL = "wheel:e lathe:x lathe:x lathe:x clutch:x,lever=out lathe:x lathe:x"
OPTIONS = ("--catalogue", "quayworks", "--only", "overload")


@pytest.fixture
def save(tmp_path: Path) -> Path:
    return save_of(tmp_path, sketch(HALL))


def test_an_error_of_another_state_makes_the_status_1_when_asked_for(save: Path) -> None:
    assert lineshaft("audit", save, *OPTIONS).status == 0
    done = lineshaft("audit", save, *OPTIONS, "--switches")
    assert done.status == 1
    assert "set    lever=in (now out) on quayworks:dog_clutch at 6 64 2\n" in done.out
    assert lineshaft("audit", save, *OPTIONS, "--switches", "--fail-on", "never").status == 0


def test_rules_that_are_off_stay_off(save: Path) -> None:
    done = lineshaft(
        "audit", save, "--catalogue", "quayworks", "--ignore", "overload", "--switches"
    )
    assert done.status == 0
    assert "in another switch state" not in done.out


def test_a_box_elsewhere_explores_nothing(save: Path) -> None:
    done = lineshaft("audit", save, *OPTIONS, "--switches", "--box", 100, 0, 100, 101, 1, 101)
    assert done.status == 0
    assert "There is no switch to throw and no mover to set going or to stop." in done.out


def test_ignores_hold_for_other_states(save: Path, tmp_path: Path) -> None:
    config = tmp_path / "lineshaft.toml"
    config.write_text('[[ignore]]\nrule = "overload"\nreason = "the clutch is locked"\n')
    done = lineshaft("audit", save, *OPTIONS, "--config", config, "--switches", "--format", "json")
    assert done.status == 0
    document = json.loads(done.out)
    assert document["findings"] == []
    assert [one["reason"] for one in document["ignored"]] == ["the clutch is locked"]


def test_a_baseline_knows_findings_of_other_states(save: Path, tmp_path: Path) -> None:
    former = tmp_path / "former.json"
    lineshaft("audit", save, *OPTIONS, "--switches", "--format", "json", "--output", former)
    done = lineshaft("audit", save, *OPTIONS, "--switches", "--baseline", former)
    assert done.status == 0
    assert "Against the baseline: 1 known, 0 new, 0 gone\n" in done.out
    # Without exploring nothing can be said of them.
    done = lineshaft("audit", save, *OPTIONS, "--baseline", former, "--format", "json")
    comparison = json.loads(done.out)["baseline"]
    assert comparison["gone"] == []
    assert len(comparison["not_judged"]) == 1


def test_a_clutch_that_was_thrown_since_makes_a_new_finding(save: Path, tmp_path: Path) -> None:
    former = tmp_path / "former.json"
    lineshaft("audit", save, *OPTIONS, "--switches", "--format", "json", "--output", former)
    thrown = save_of(tmp_path / "thrown", sketch(HALL.replace("lever=out", "lever=in")))
    done = lineshaft("audit", thrown, *OPTIONS, "--switches", "--baseline", former)
    assert done.status == 1
    assert "Against the baseline: 0 known, 1 new, 1 gone\n" in done.out


def test_most_states_is_for_switches_and_at_least_one(save: Path) -> None:
    done = lineshaft("audit", save, *OPTIONS, "--most-states", 5)
    assert done.status == 2
    assert "--most-states is for --switches." in done.err
    assert lineshaft("audit", save, *OPTIONS, "--switches", "--most-states", 0).status == 2


def test_the_default_that_help_tells_is_the_programs() -> None:
    from analyzer.switching.explore import MOST_STATES

    assert f"[default: {MOST_STATES}]" in " ".join(lineshaft("audit", "--help").out.split())


def test_several_saves_are_not_explored(save: Path) -> None:
    done = lineshaft("audit", save, save, *OPTIONS, "--switches")
    assert done.status == 2
    assert "--switches explores one save" in done.err


def test_the_same_save_gives_the_same_bytes(save: Path) -> None:
    one, two = (
        lineshaft("audit", save, *OPTIONS, "--switches", "--format", form).out
        for form in ("json", "json")
    )
    assert one == two
