"""Exit statuses, and the message that goes with each."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from analyzer.demo.content import place
from tests.support.command import lineshaft
from tests.support.demo import demo_save
from tests.support.saves import save_of
from tests.support.sketch import sketch

QUAYWORKS = ("--catalogue", "quayworks")


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    """A save with one turning network and nothing wrong."""
    return save_of(tmp_path, sketch("wheel:e shaft:x layer:e"))


@pytest.fixture
def overloaded(tmp_path: Path) -> Path:
    return save_of(tmp_path, sketch("wheel:e lathe:x lathe:x lathe:x lathe:x lathe:x"))


def test_a_save_with_nothing_wrong_ends_with_0(sound: Path) -> None:
    done = lineshaft("audit", sound, *QUAYWORKS)
    assert (done.status, done.err) == (0, "")
    assert "Findings: 0 errors, 0 warnings, 0 notes" in done.out


@pytest.mark.parametrize(
    ("fail_on", "status"), [("error", 1), ("warning", 1), ("note", 1), ("never", 0)]
)
def test_an_error_ends_with_1_unless_findings_do_not_count(
    overloaded: Path, fail_on: str, status: int
) -> None:
    assert lineshaft("audit", overloaded, *QUAYWORKS, "--fail-on", fail_on).status == status


@pytest.mark.parametrize(("fail_on", "status"), [("error", 0), ("warning", 1), ("note", 1)])
def test_a_warning_ends_with_1_if_warnings_count(sound: Path, fail_on: str, status: int) -> None:
    done = lineshaft("audit", sound, "--fail-on", fail_on)
    assert done.status == status
    assert "warning: no-catalogue" in done.out


def test_something_unread_ends_with_3_before_findings_count() -> None:
    done = lineshaft("audit", demo_save(), *QUAYWORKS)
    assert done.status == 3
    assert "error: overload" in done.out
    assert lineshaft("parts", demo_save(), *QUAYWORKS).status == 3
    assert lineshaft("survey", demo_save()).status == 3
    assert lineshaft("catalogue", "check", "quayworks", "--against", demo_save()).status == 3


def test_something_unread_may_be_accepted() -> None:
    assert lineshaft("audit", demo_save(), *QUAYWORKS, "--allow-unread").status == 1
    assert lineshaft("parts", demo_save(), *QUAYWORKS, "--allow-unread").status == 0
    assert lineshaft("survey", demo_save(), "--allow-unread").status == 0


def test_a_missing_folder_ends_with_2(tmp_path: Path) -> None:
    done = lineshaft("audit", tmp_path / "nowhere")
    assert (done.status, done.out) == (2, "")
    assert "there is no such folder" in done.err
    assert "Give the folder that holds level.dat" in done.err


def test_an_archive_instead_of_a_folder_ends_with_2(tmp_path: Path) -> None:
    path = tmp_path / "world.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("world/level.dat", b"")
    done = lineshaft("audit", path)
    assert (done.status, done.out) == (2, "")
    assert "an archive" in done.err
    assert "Unpack it" in done.err


def test_a_bad_catalogue_ends_with_2_and_names_every_mistake(sound: Path, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text('[catalogue]\nformat = 2\n[parts."a:b"]\nrole = "wheel"\n', "utf-8")
    done = lineshaft("audit", sound, "--catalogue", path)
    assert (done.status, done.out) == (2, "")
    assert f"{path}:2: catalogue.format" in done.err
    assert f'{path}:4: parts."a:b".role' in done.err


@pytest.mark.parametrize(
    "arguments",
    [
        ["audit"],
        ["audit", "SAVE", "--box", "1", "2", "3"],
        ["audit", "SAVE", "--format", "xml"],
        ["audit", "SAVE", "--dimension", "quay:moon"],
        ["audit", "SAVE", "--catalogue", "no-such-catalogue"],
        ["sweep", "SAVE"],
        ["survey", "SAVE", "--list", "--format", "json"],
        ["survey", "SAVE", "--list", "--draft", "x.toml"],
        ["survey", "SAVE", "--draft", "x.toml", "--output", "y"],
        ["catalogue", "check"],
        ["catalogue", "check", "quayworks", "--allow-unread"],
        ["catalogue", "check", "quayworks", "--dimension", "minecraft:overworld"],
        ["catalogue", "check", "quayworks", "--against", "no-such-save"],
        ["networks", "SAVE", "--near", "1", "2"],
        ["networks", "SAVE", "--most", "0"],
        ["networks", "SAVE", "--state", "broken"],
        ["catalogue", "show", "quayworks:line_shaft[axis=x]"],
        ["catalogue", "show", "quayworks:line_shaft[axis", "--catalogue", "quayworks"],
        ["catalogue", "show", "quayworks:line_shaft[axis=q]", "--catalogue", "quayworks"],
        ["catalogue", "show", "quayworks:no_such", "--catalogue", "quayworks"],
    ],
)
def test_wrong_usage_ends_with_2_and_says_why(sound: Path, arguments: list[str]) -> None:
    done = lineshaft(*(str(sound) if one == "SAVE" else one for one in arguments))
    assert (done.status, done.out) == (2, "")
    assert done.err
    assert "Traceback" not in done.err


def test_an_empty_world_ends_with_0(tmp_path: Path) -> None:
    done = lineshaft("audit", save_of(tmp_path, []), *QUAYWORKS)
    assert (done.status, done.err) == (0, "")
    assert "There was no network to judge." in done.out


def test_a_world_without_parts_warns_if_nothing_in_it_is_known(tmp_path: Path) -> None:
    save = save_of(tmp_path, [place((1, 64, 1), "ropery:reel", {"id": "ropery:reel"})])
    done = lineshaft("audit", save, *QUAYWORKS)
    assert done.status == 0
    assert "warning: nothing-known" in done.out
    assert f"lineshaft survey {save} --draft ropery.toml --namespace ropery\n" in done.out


def test_a_fault_of_the_program_is_no_finding(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("broken")

    monkeypatch.setattr("analyzer.pipeline.audit.audit_save", fail)
    done = lineshaft("audit", sound)
    assert done.status == 70
    assert "this is a fault of the program" in done.err


def test_an_interrupt_ends_with_130(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("analyzer.pipeline.audit.audit_save", stop)
    done = lineshaft("audit", sound)
    assert (done.status, done.err.strip()) == (130, "lineshaft: interrupted")
