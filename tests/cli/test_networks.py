"""Listing networks by size, distance and state."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from analyzer.report.networks_list_csv import COLUMNS
from tests.support.command import lineshaft
from tests.support.demo import demo_save
from tests.support.saves import save_of
from tests.support.sketch import sketch

QUAYWORKS = ("--catalogue", "quayworks")


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Networks of 2, 6 and 3 parts: turning, overloaded, and idle."""
    return save_of(
        tmp_path,
        (
            *sketch("wheel:e shaft:x", at=(0, 64, 0)),
            *sketch("wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x", at=(10, 64, 0)),
            *sketch("shaft:x shaft:x shaft:x", at=(0, 64, 40)),
        ),
    )


def rows(save: Path, *options: object) -> list[dict[str, str]]:
    done = lineshaft("networks", save, *QUAYWORKS, "--format", "csv", *options)
    assert done.status in (0, 3)
    return list(csv.DictReader(io.StringIO(done.out)))


def test_the_largest_come_first_unless_asked_otherwise(yard: Path) -> None:
    assert [row["parts"] for row in rows(yard)] == ["6", "3", "2"]


def test_by_state_what_wants_attention_comes_first(yard: Path) -> None:
    assert [row["state"] for row in rows(yard, "--sort", "state")] == [
        "overloaded",
        "idle",
        "turning",
    ]


def test_near_a_position_the_nearest_come_first_with_their_nearest_part(yard: Path) -> None:
    found = rows(yard, "--near", 2, 64, 43)
    near = [(row["near_x"], row["near_y"], row["near_z"], row["distance"]) for row in found]
    # Straight lines: 3 blocks; 43 with 1 aside; 43 with 8 aside.
    assert near == [
        ("2", "64", "40", "3.0"),
        ("1", "64", "0", "43.0"),
        ("10", "64", "0", "43.7"),
    ]


def test_near_a_position_another_order_may_be_asked_for(yard: Path) -> None:
    found = rows(yard, "--near", 2, 64, 43, "--sort", "size")
    assert [row["parts"] for row in found] == ["6", "3", "2"]
    assert found[0]["distance"] == "43.7"


def test_without_a_position_there_is_no_distance(yard: Path) -> None:
    assert {row["distance"] for row in rows(yard)} == {""}
    done = lineshaft("networks", yard, *QUAYWORKS, "--sort", "distance")
    assert (done.status, done.out) == (2, "")
    assert "--near X Y Z" in done.err


def test_states_choose_networks(yard: Path) -> None:
    assert [row["state"] for row in rows(yard, "--state", "idle")] == ["idle"]
    both = rows(yard, "--state", "idle", "--state", "turning")
    assert sorted(row["state"] for row in both) == ["idle", "turning"]
    assert rows(yard, "--state", "conflicting") == []


def test_most_limits_each_dimension(yard: Path) -> None:
    assert [row["parts"] for row in rows(yard, "--most", 1)] == ["6"]
    out = lineshaft("networks", yard, *QUAYWORKS, "--most", 1).out
    assert "... and 2 more. All of them: --most 3\n" in out
    listed = rows(demo_save(), "--most", 1)
    assert len({row["dimension"] for row in listed}) == len(listed) == 2


def test_the_text_fits_80_columns_and_leads_to_the_nearest(yard: Path) -> None:
    done = lineshaft("networks", yard, *QUAYWORKS, "--near", 2, 64, 43)
    assert done.status == 0
    assert "Networks by distance" in done.out
    assert "nearest of them: minecraft:overworld:0,64,40\n" in done.out
    assert "  /execute in minecraft:overworld run tp @s 2 64 40\n" in done.out
    for save, options in ((yard, ["--near", 2, 64, 43]), (demo_save(), []), (yard, [])):
        out = lineshaft("networks", save, *QUAYWORKS, *options).out
        assert max(map(len, out.splitlines())) <= 80


def test_a_dimension_and_a_box_narrow_the_list(yard: Path) -> None:
    assert [row["parts"] for row in rows(yard, "--box", 0, 64, 40, 0, 64, 40)] == ["3"]
    found = rows(demo_save(), "--dimension", "quayworks:undercroft")
    assert {row["dimension"] for row in found} == {"quayworks:undercroft"}


def test_the_rows_agree_with_the_audits_document() -> None:
    import json

    document = json.loads(lineshaft("audit", demo_save(), *QUAYWORKS, "--format", "json").out)
    by_id = {network["id"]: network for network in document["networks"]}
    found = rows(demo_save())
    assert len(found) == len(by_id)
    for row in found:
        network = by_id[row["network"]]
        assert row["state"] == network["state"]
        assert row["conflict"] == (network["conflict"] or "")
        for key in ("parts", "movers", "active_movers", "machines", "switches", "chunks"):
            assert int(row[key]) == network[key]
        for key in ("capacity_exact", "demand_exact", "headroom_exact"):
            assert row[key] == (network[key] or "")
        assert (row["cut"] == "yes") is bool(network["cut"])
        assert row["taken_while_running"] == "no"


def test_a_save_without_networks_says_so(tmp_path: Path) -> None:
    done = lineshaft("networks", save_of(tmp_path, []), *QUAYWORKS)
    assert done.status == 0
    assert "There is no such network.\n" in done.out


def test_something_unread_ends_with_3_unless_allowed() -> None:
    assert lineshaft("networks", demo_save(), *QUAYWORKS).status == 3
    assert lineshaft("networks", demo_save(), *QUAYWORKS, "--allow-unread").status == 0


@pytest.mark.parametrize("far", [2**31 - 1, -(2**31)])
def test_the_farthest_position_is_measured(yard: Path, far: int) -> None:
    found = rows(yard, "--near", far, far, far)
    assert len({row["distance"] for row in found}) == 3
    assert lineshaft("networks", yard, "--near", 2**31, 0, 0).status == 2


def test_the_page_on_output_shows_the_columns_that_are_printed() -> None:
    page = (Path(__file__).parents[2] / "docs" / "output.md").read_text("utf-8")
    assert ",".join(COLUMNS) in page
