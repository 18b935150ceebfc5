"""The commands one by one, as a user runs them."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

from tests.support.command import lineshaft
from tests.support.demo import demo_save

QUAYWORKS = ("--catalogue", "quayworks")


def test_audit_prints_a_summary_then_findings_then_networks() -> None:
    out = lineshaft("audit", demo_save(), *QUAYWORKS).out
    order = ["catalogues  Quayworks", "Findings: ", "Network at ", "Networks by size", "\nNot read"]
    places = [out.index(text) for text in order]
    assert places == sorted(places)


def test_audit_in_a_box_names_networks_in_it_alone() -> None:
    box = ("--box", -30, 60, -12, -20, 70, -8)
    done = lineshaft("audit", demo_save(), *QUAYWORKS, *box, "--format", "json")
    found = json.loads(done.out)
    assert [network["anchor"] for network in found["networks"]] == [[-28, 64, -10]]


def test_audit_of_one_dimension_reads_that_alone() -> None:
    done = lineshaft("audit", demo_save(), *QUAYWORKS, "--dimension", "quayworks:undercroft")
    assert done.status == 0
    assert "minecraft:overworld" not in done.out


def test_every_byte_reads_every_chunk() -> None:
    sifted = json.loads(lineshaft("audit", demo_save(), "--format", "json").out)
    whole = json.loads(lineshaft("audit", demo_save(), "--format", "json", "--every-byte").out)
    assert sifted["scan"]["chunks"]["sifted"] > 0
    assert whole["scan"]["chunks"]["sifted"] == 0


def test_parts_prints_one_row_a_part() -> None:
    rows = list(csv.DictReader(io.StringIO(lineshaft("parts", demo_save(), *QUAYWORKS).out)))
    assert (
        len(rows)
        == json.loads(lineshaft("audit", demo_save(), *QUAYWORKS, "--format", "json").out)["scan"][
            "parts"
        ]
    )


def test_survey_prints_text_json_and_a_list() -> None:
    assert "quayworks_stores" in lineshaft("survey", demo_save(), *QUAYWORKS).out
    found = json.loads(lineshaft("survey", demo_save(), *QUAYWORKS, "--format", "json").out)
    rows = lineshaft("survey", demo_save(), "--list").out.splitlines()
    assert len(rows) == 1 + sum(kind["count"] for kind in found["entities"])


def test_a_draft_filled_in_passes_the_check_and_serves_an_audit(tmp_path: Path) -> None:
    path = tmp_path / "quay.toml"
    drafted = lineshaft(
        "survey", demo_save(), "--draft", path, "--namespace", "quayworks", "--allow-unread"
    )
    assert (drafted.status, drafted.out, drafted.err) == (0, "", f"written to {path}\n")
    unfilled = lineshaft("catalogue", "check", path)
    assert unfilled.status == 2
    assert f"{path}:" in unfilled.err
    assert "expected one of mover, machine, transmission" in unfilled.err
    text = path.read_text("utf-8").replace('licence = ""', 'licence = "MIT"')
    path.write_text(text.replace('role = ""', 'role = "transmission"'), "utf-8")
    checked = lineshaft("catalogue", "check", path)
    assert checked.status == 0
    assert checked.out == "Parts of quayworks 0.1: 30 types of part, no mistake\n"
    audited = lineshaft("audit", demo_save(), "--catalogue", path, "--allow-unread")
    assert audited.status == 0
    # All 152 entries but the gear whose block was taken away and one that is listed twice.
    assert "150 parts in 150 networks: 150 idle" in audited.out


def test_catalogue_check_takes_installed_names() -> None:
    done = lineshaft("catalogue", "check", "quayworks")
    assert (done.status, done.err) == (0, "")
    assert "Quayworks boatyard and ropewalk 1.0: 31 types of part" in done.out


def test_catalogue_show_tells_ends_in_world_directions() -> None:
    out = lineshaft("catalogue", "show", "quayworks:tide_wheel[facing=west]", *QUAYWORKS).out
    assert "pose        front west, top up, right north\n" in out
    assert "reported about +x: the opposite sense" in out
    assert "  front  west   1\n  back   east   -1\n" in out


def test_catalogue_show_tells_where_a_rim_meshes() -> None:
    out = lineshaft("catalogue", "show", "quayworks:edge_stone[axis=y]", *QUAYWORKS).out
    assert "rim         near, 12 teeth, about y\n" in out
    assert "  beside     1 0 0    near       y      the other way\n" in out


def test_catalogue_show_tells_where_a_number_is_stored() -> None:
    out = lineshaft("catalogue", "show", "quayworks:sluice_wheel[facing=up]", *QUAYWORKS).out
    assert 'stored at "Gate" > "Notches", times 1/2, by default 0' in out


def test_demo_builds_audits_and_ends_with_0(tmp_path: Path) -> None:
    done = lineshaft("demo", "--folder", tmp_path / "quay")
    assert done.status == 0
    assert done.err == f"The demo save is in {tmp_path / 'quay'}\n"
    again = lineshaft("audit", tmp_path / "quay", *QUAYWORKS)
    assert again.out == done.out


def test_demo_never_writes_into_a_folder_in_use(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("mine", "utf-8")
    done = lineshaft("demo", "--folder", tmp_path)
    assert (done.status, done.out) == (2, "")
    assert "not an empty folder" in done.err


def test_demo_without_a_folder_makes_a_new_one_each_time(
    tmp_path: Path, monkeypatch: object
) -> None:
    import tempfile

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))  # type: ignore[attr-defined]
    assert lineshaft("demo").status == 0
    assert lineshaft("demo").status == 0
    assert len(list(tmp_path.iterdir())) == 2


def test_demo_ends_with_1_if_the_audit_misses_something(
    tmp_path: Path, monkeypatch: object
) -> None:
    from analyzer.demo import build
    from analyzer.demo.expect import ExpectedFinding

    wanted = (*build.expected_findings(), ExpectedFinding("overload", "a:b", None))
    monkeypatch.setattr(build, "expected_findings", lambda: wanted)  # type: ignore[attr-defined]
    done = lineshaft("demo", "--folder", tmp_path / "quay")
    assert done.status == 1
    assert "the audit did not find: overload a:b" in done.err
