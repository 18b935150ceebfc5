"""``lineshaft audit`` of several saves, as a user runs it."""

from __future__ import annotations

import gc
import json
import shutil
import weakref
from pathlib import Path

import pytest

from analyzer.findings.audit import Audit
from analyzer.pipeline import fleet_save
from tests.support.command import Done, lineshaft
from tests.support.demo import demo_save
from tests.support.saves import save_of
from tests.support.schemas import check_document
from tests.support.sketch import sketch

TITLE = "Quayworks boatyard and ropewalk"


@pytest.fixture(autouse=True)
def saves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make `demo`, and `good/save`, in the folder that commands run in, and return it."""
    shutil.copytree(demo_save(), tmp_path / "demo")
    save_of(tmp_path / "good", sketch("wheel:e shaft:x layer:e", at=(40, 64, 40)))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def audit(*arguments: object) -> Done:
    return lineshaft("audit", *arguments, "--catalogue", "quayworks", "--no-cache")


@pytest.mark.parametrize("form", ["text", "json", "csv", "sarif", "html"])
def test_one_save_is_told_of_as_ever(form: str) -> None:
    done = audit("demo", "--format", form)
    assert done.status == 3
    assert "Audit of" not in done.out
    assert '"saves"' not in done.out
    assert not done.out.startswith("save,")


def test_several_saves_have_a_line_each_and_the_worst_status() -> None:
    done = audit("demo", "good/save", "demo")
    assert (done.status, done.err) == (3, "")
    assert done.out.startswith("Audit of 3 saves: 1 passes, 2 not all read\n")
    assert f"\n\n\n{TITLE} (2)\n" not in done.out
    assert done.out.count(f"  {TITLE} (demo)") == 2
    assert f"\n\n\n{TITLE} (demo) (2)\n" in done.out
    assert "lineshaft survey demo " in done.out


def test_a_save_that_cannot_be_opened_is_told_and_the_others_are_audited(saves: Path) -> None:
    done = audit(saves / "mill", "demo", "--format", "json")
    assert done.status == 2
    assert done.err.count("\n") == 1
    assert done.err.startswith(f"lineshaft: {saves / 'mill'}: there is no such folder")
    first, second = check_document(done.out, "fleet")["saves"]
    assert (first["name"], first["exit_status"], first["audit"]) == ("mill", 2, None)
    assert second["audit"] == json.loads(audit("demo", "--format", "json").out)
    assert str(saves) not in done.out
    assert str(saves) not in audit(saves / "mill", "demo").out


@pytest.mark.parametrize(
    ("given", "status"),
    [
        (("good/save", "good/save"), 0),
        (("good/save", "demo", "--allow-unread"), 1),
        (("good/save", "demo", "--allow-unread", "--fail-on", "never"), 0),
        (("demo", "good/save"), 3),
        (("demo", "nothing"), 2),
        (("nothing", "nowhere"), 2),
    ],
)
def test_the_status_is_the_worst_of_all(given: tuple[str, ...], status: int) -> None:
    assert audit(*given).status == status


def test_what_is_made_for_one_save_is_refused_for_several(tmp_path: Path) -> None:
    report = tmp_path / "report.json"
    report.write_text(audit("demo", "--format", "json").out, "utf-8")
    for options, told in (
        (("--format", "html"), "--format html"),
        (("--baseline", report), "--baseline"),
    ):
        done = audit("demo", "good/save", *options)
        assert (done.status, done.out) == (2, "")
        assert told in done.err


def test_the_configuration_beside_each_save_holds_for_that_save(saves: Path) -> None:
    other = saves / "other"
    shutil.copytree(demo_save(), other / "demo")
    (other / "lineshaft.toml").write_text(
        'fail_on = "never"\n[levels]\noverload = "off"\n', "utf-8"
    )
    done = audit("demo", "other/demo", "--format", "json", "--allow-unread")
    assert done.err == "settings from other/lineshaft.toml\n"
    one, two = json.loads(done.out)["saves"]
    assert (one["exit_status"], two["exit_status"]) == (1, 0)
    assert (one["audit"]["policy"]["off"], two["audit"]["policy"]["off"]) == ([], ["overload"])
    both = audit("demo", "other/demo", "--config", "other/lineshaft.toml", "--allow-unread")
    assert both.status == 0
    assert both.err == "settings from other/lineshaft.toml\n"


def test_a_bad_configuration_of_one_save_ends_all_before_anything_is_read(saves: Path) -> None:
    (saves / "good" / "lineshaft.toml").write_text("rules = 7\n", "utf-8")
    done = audit("demo", "good/save")
    assert (done.status, done.out) == (2, "")
    assert "good/lineshaft.toml:1" in done.err


def test_the_report_may_go_to_a_file_outside_all_of_them(saves: Path) -> None:
    inside = audit("demo", "good/save", "--output", "good/save/report.txt")
    assert (inside.status, inside.out) == (2, "")
    assert "lies inside the save" in inside.err
    done = audit("demo", "good/save", "--output", "report.txt", "--quiet")
    assert (done.status, done.out, done.err) == (3, "", "")
    assert (saves / "report.txt").read_text("utf-8") == audit("demo", "good/save").out


@pytest.mark.parametrize("form", ["text", "json", "csv", "sarif"])
def test_no_two_audits_are_held_at_once(form: str, monkeypatch: pytest.MonkeyPatch) -> None:
    audits: list[weakref.ref[Audit]] = []
    plain = fleet_save.FleetSave.audit

    def noted(self: fleet_save.FleetSave) -> Audit:
        # What refers to itself is let go at the next collection.
        gc.collect()
        assert [ref for ref in audits if ref() is not None] == []
        made = plain(self)
        audits.append(weakref.ref(made))
        return made

    monkeypatch.setattr(fleet_save.FleetSave, "audit", noted)
    assert audit("demo", "good/save", "demo", "--format", form).status == 3
    assert len(audits) == 3


@pytest.mark.parametrize("form", ["text", "json", "csv", "sarif"])
def test_neither_jobs_nor_a_cache_show(saves: Path, form: str) -> None:
    given = ("demo", "good/save", "demo", "--format", form)
    plain = audit(*given)
    assert audit(*given, "--jobs", 2) == audit(*given, "--jobs", 1) == plain
    for _ in range(2):
        kept = lineshaft("audit", *given, "--catalogue", "quayworks", "--cache", saves / "kept")
        assert kept == plain
