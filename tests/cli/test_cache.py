"""What the options of the cache do, and what a command says of it."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from analyzer.save.files import region_marks
from analyzer.save.scan import scan_source
from tests.support.command import Done, lineshaft
from tests.support.demo import demo_save


@pytest.fixture(autouse=True)
def _every_file_is_old_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(region_marks, "SETTLED_NS", -(10**12))


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the user's own folder for it, by the convention of the platform."""
    monkeypatch.setattr("platformdirs.user_cache_path", lambda name, **_: tmp_path / "own" / name)
    return tmp_path / "own" / "lineshaft"


def run(*options: object, command: str = "audit") -> Done:
    return lineshaft(command, demo_save(), "--catalogue", "quayworks", *options)


def nothing_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    def read(*_: object, **__: object) -> None:
        raise AssertionError("a region file is read")

    monkeypatch.setattr(scan_source, "scan_source", read)


@pytest.mark.parametrize("command", ["audit", "networks", "parts"])
def test_the_users_own_folder_is_used_unless_another_is_named(
    own: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    first = run(command=command)
    assert first.err == ""
    assert len(list(own.glob("*.store"))) == 1
    other = tmp_path / "other"
    assert run("--cache", other, command=command) == first
    assert len(list(other.glob("*.store"))) == 1
    nothing_is_read(monkeypatch)
    assert run(command=command) == first
    assert run("--cache", other, command=command) == first
    assert run("--no-cache", command=command).status == 70


def test_no_cache_keeps_nothing(own: Path) -> None:
    run("--no-cache")
    assert not own.exists()


def test_the_commands_for_parts_of_an_audit_share_what_is_known(
    own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run()
    nothing_is_read(monkeypatch)
    assert run(command="networks").status != 70
    assert run(command="parts").status != 70
    check = ("catalogue", "check", "quayworks", "--against", demo_save(), "--allow-unread")
    assert lineshaft(*check).status != 70
    assert lineshaft(*check, "--no-cache").status == 70
    assert own.exists()


@pytest.mark.parametrize("place", [lambda save: save, lambda save: save / "new", Path.parent.fget])
def test_a_folder_that_lies_in_the_save_or_holds_it_is_wrong_usage(place) -> None:
    done = run("--cache", place(demo_save()))
    assert done.status == 2
    assert done.out == ""
    assert "Name another folder for the cache." in done.err


def test_a_folder_and_none_exclude_each_other(tmp_path: Path) -> None:
    done = run("--cache", tmp_path, "--no-cache")
    assert done.status == 2
    assert "exclude each other" in done.err


def test_what_does_not_work_is_one_line_that_quiet_leaves_out(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    folder = tmp_path / "file" / "cache"
    done = run("--cache", folder)
    assert done.err.startswith(f"lineshaft: no cache is kept: {folder} cannot be written: ")
    assert done.err.count("\n") == 1
    assert run("--cache", folder, "--quiet") == Done(done.status, done.out, "")


def test_a_user_without_a_folder_of_their_own_has_no_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *_, **__: Path("~/.cache"))
    assert run().err == ""
    assert list(tmp_path.iterdir()) == []


def test_every_command_of_the_page_is_understood(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    page = (Path(__file__).parents[2] / "docs" / "cache.md").read_text("utf-8")
    (block,) = re.findall(r"^```sh\n(.*?)^```", page, re.M | re.S)
    for line in block.splitlines():
        words = shlex.split(line, comments=True)
        told = {"path/to/save": str(demo_save()), "my-parts.toml": "quayworks"}
        assert lineshaft(*(told.get(word, word) for word in words[1:])).status == 3, line
    assert (tmp_path / "path" / "to" / "folder").is_dir()
