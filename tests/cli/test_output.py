"""Where reports go: standard output, files, terminals and pipes."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from analyzer.demo.build import build_demo
from analyzer.save.reading.progress import Progress
from tests.support.command import lineshaft
from tests.support.demo import demo_save

QUAYWORKS = ("--catalogue", "quayworks")


def test_a_file_holds_what_standard_output_would(tmp_path: Path) -> None:
    path = tmp_path / "report.json"
    done = lineshaft(
        "audit", demo_save(), *QUAYWORKS, "--format", "json", "--output", path, "--allow-unread"
    )
    printed = lineshaft("audit", demo_save(), *QUAYWORKS, "--format", "json").out
    assert (done.status, done.out, done.err) == (1, "", f"written to {path}\n")
    assert path.read_text("utf-8") == printed
    assert json.loads(printed)
    assert [found.name for found in tmp_path.iterdir()] == ["report.json"]


def test_a_report_replaces_an_older_one_and_has_usual_permissions(tmp_path: Path) -> None:
    path, plain = tmp_path / "report.txt", tmp_path / "plain"
    path.write_text("old", "utf-8")
    plain.write_text("", "utf-8")
    lineshaft("audit", demo_save(), *QUAYWORKS, "--output", path)
    assert path.read_text("utf-8").startswith("Quayworks")
    assert path.stat().st_mode == plain.stat().st_mode


def test_half_a_report_is_never_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def half(*_: object, **__: object) -> object:
        yield "half"
        raise RuntimeError("broken")

    path = tmp_path / "report.txt"
    path.write_text("old", "utf-8")
    monkeypatch.setattr("analyzer.report.audit_text.iter_audit_text", half)
    assert lineshaft("audit", demo_save(), "--output", path).status == 70
    assert path.read_text("utf-8") == "old"
    assert [found.name for found in tmp_path.iterdir()] == ["report.txt"]


@pytest.mark.parametrize("name", ["report.txt", "region/report.txt", "region/../x"])
def test_nothing_is_written_inside_the_save(tmp_path: Path, name: str) -> None:
    save = tmp_path / "save"
    build_demo(save)
    for command in (["audit"], ["parts"], ["survey"]):
        done = lineshaft(*command, save, "--output", save / name)
        assert done.status == 2
        assert "lies inside the save" in done.err
    assert lineshaft("survey", save, "--draft", save / name).status == 2
    # Given its region folder alone, the save is still the save.
    done = lineshaft("audit", save / "region", "--output", save / "report.txt")
    assert (done.status, (save / "report.txt").exists()) == (2, False)


def test_a_link_into_the_save_is_seen_through(tmp_path: Path) -> None:
    save = tmp_path / "save"
    build_demo(save)
    (tmp_path / "link").symlink_to(save / "region")
    done = lineshaft("audit", save, "--output", tmp_path / "link" / "report.txt")
    assert done.status == 2
    assert "lies inside the save" in done.err


def test_a_file_that_cannot_be_written_is_refused_before_any_work(tmp_path: Path) -> None:
    done = lineshaft("audit", demo_save(), "--output", tmp_path / "no" / "report.txt")
    assert (done.status, done.out) == (2, "")
    assert "its folder does not exist" in done.err
    assert "is a folder" in lineshaft("audit", demo_save(), "--output", tmp_path).err


def test_a_draft_never_overwrites_a_catalogue(tmp_path: Path) -> None:
    path = tmp_path / "quay.toml"
    assert lineshaft("survey", demo_save(), "--draft", path, "--allow-unread").status == 0
    path.write_text("mine", "utf-8")
    done = lineshaft("survey", demo_save(), "--draft", path)
    assert done.status == 2
    assert "exists already" in done.err
    assert path.read_text("utf-8") == "mine"


def test_no_letter_breaks_a_terminal_that_lacks_it(tmp_path: Path) -> None:
    save = tmp_path / "Ölmühle"
    build_demo(save)
    done = lineshaft("audit", save, terminal=True, encoding="ascii")
    assert "lineshaft survey " in done.out
    assert "\\xd6lm\\xfchle" in done.out


def test_a_pipe_gets_utf_8_whatever_the_locale(tmp_path: Path) -> None:
    save = tmp_path / "Ölmühle"
    build_demo(save)
    done = lineshaft("audit", save, encoding="ascii")
    assert "Ölmühle" in done.out


def test_nothing_is_coloured_on_a_terminal_or_in_a_pipe() -> None:
    for terminal in (True, False):
        done = lineshaft("audit", demo_save(), *QUAYWORKS, "--quiet", terminal=terminal)
        assert "\x1b" not in done.out + done.err


def test_progress_is_shown_on_a_terminal_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("analyzer.cli.progress._PAUSE_SECONDS", 0)
    shown = lineshaft("audit", demo_save(), terminal=True).err
    assert re.search(r"\r7 of 7 regions, 65 chunks, [\d,]+ chunks/s, 0:00 left", shown)
    # The line is taken away at the end.
    assert re.search(r"\r *\r\Z", shown)
    assert lineshaft("audit", demo_save(), terminal=True).out == lineshaft("audit", demo_save()).out
    assert lineshaft("audit", demo_save(), "--quiet", terminal=True).err == ""
    assert lineshaft("audit", demo_save()).err == ""


def test_progress_tells_regions_chunks_rate_and_time_left() -> None:
    from analyzer.cli.progress import progress_text

    assert progress_text(Progress(0, 40, 0), 0) == "0 of 40 regions, 0 chunks, 0 chunks/s"
    assert progress_text(Progress(10, 40, 5_120), 30) == (
        "10 of 40 regions, 5,120 chunks, 171 chunks/s, 1:30 left"
    )


def test_a_reader_that_stops_listening_ends_the_command_quietly() -> None:
    command = [sys.executable, "-m", "analyzer.cli.main", "audit", str(demo_save())]
    for options, status in ((("--allow-unread", *QUAYWORKS), 1), (QUAYWORKS, 3)):
        reader, writer = os.pipe()
        os.close(reader)
        with os.fdopen(writer, "wb") as pipe:
            done = subprocess.run(
                [*command, *options], stdout=pipe, stderr=subprocess.PIPE, check=False
            )
        assert (done.returncode, done.stderr) == (status, b"")


def test_the_version_comes_without_any_heavy_library() -> None:
    code = (
        "import sys; from analyzer.cli.main import run; status = run(['--version']);"
        "heavy = {'numpy', 'scipy', 'networkx', 'nbtlib', 'lz4'} & sys.modules.keys();"
        "sys.exit(f'{status} {heavy}' if status or heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert re.fullmatch(r"lineshaft \d+\.\d+\.\d+\n", done.stdout)


def test_help_comes_without_any_heavy_library() -> None:
    code = (
        "import sys; from analyzer.cli.main import run; run(['--help']); run(['audit', '--help']);"
        "sys.exit('numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
