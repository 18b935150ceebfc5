"""The folder of stores stays small, and nothing else in it is touched."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from analyzer.store import folder as folders
from analyzer.store.folder import LONGEST_UNUSED_SECONDS, drop_old, make_folder, store_path

NOW = 2_000_000_000


def made(folder: Path, name: str, *, unused: float, size: int = 1) -> Path:
    path = folder / name
    path.write_bytes(bytes(size))
    os.utime(path, (NOW - unused, NOW - unused))
    return path


def store(folder: Path, letter: str, *, unused: float, size: int = 1) -> Path:
    return made(folder, store_path(folder, letter.encode() * 32).name, unused=unused, size=size)


def test_a_store_that_was_not_used_for_long_is_dropped(tmp_path: Path) -> None:
    keep = store(tmp_path, "k", unused=2 * LONGEST_UNUSED_SECONDS)
    just = store(tmp_path, "j", unused=LONGEST_UNUSED_SECONDS)
    store(tmp_path, "o", unused=LONGEST_UNUSED_SECONDS + 1)
    drop_old(tmp_path, keep=keep, now_seconds=NOW)
    assert sorted(tmp_path.iterdir()) == sorted([keep, just])


def test_of_too_many_bytes_those_used_longest_ago_go_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folders, "MOST_BYTES", 100)
    keep = store(tmp_path, "k", unused=9, size=40)
    newer = store(tmp_path, "n", unused=1, size=60)
    store(tmp_path, "o", unused=2, size=1)
    drop_old(tmp_path, keep=keep, now_seconds=NOW)
    assert sorted(tmp_path.iterdir()) == sorted([keep, newer])


def test_what_was_begun_and_never_finished_goes_after_a_day(tmp_path: Path) -> None:
    keep = store(tmp_path, "k", unused=0)
    begun = made(tmp_path, f"{keep.name}.abc_1.part", unused=86_400)
    made(tmp_path, f"{keep.name}.abc_2.part", unused=86_401)
    drop_old(tmp_path, keep=keep, now_seconds=NOW)
    assert sorted(tmp_path.iterdir()) == sorted([keep, begun])


@pytest.mark.parametrize(
    "name", ["level.dat", "a.store", "0" * 33 + ".store", "0" * 32 + ".store.bak", "CACHEDIR.TAG"]
)
def test_files_of_others_stay(tmp_path: Path, name: str) -> None:
    keep = store(tmp_path, "k", unused=0)
    other = made(tmp_path, name, unused=10 * LONGEST_UNUSED_SECONDS)
    drop_old(tmp_path, keep=keep, now_seconds=NOW)
    assert other.exists()


def test_a_folder_under_a_stores_name_stays(tmp_path: Path) -> None:
    keep = store(tmp_path, "k", unused=0)
    folder = store_path(tmp_path, b"d" * 32)
    folder.mkdir()
    os.utime(folder, (0, 0))
    drop_old(tmp_path, keep=keep, now_seconds=NOW)
    assert folder.is_dir()


def test_a_folder_of_our_own_is_private_and_marked_as_a_cache(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "cache"
    make_folder(folder)
    # The first line is given by https://bford.info/cachedir/
    tag = (folder / "CACHEDIR.TAG").read_text("ascii")
    assert tag.startswith("Signature: 8a477f597d28d172789f06886806bc55\n")
    if sys.platform != "win32":
        assert folder.stat().st_mode & 0o777 == 0o700


def test_a_folder_that_is_there_gets_no_mark(tmp_path: Path) -> None:
    make_folder(tmp_path)
    assert list(tmp_path.iterdir()) == []
