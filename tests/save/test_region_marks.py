"""Whatever changes about a region file, or about the files beside it, changes its mark."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import pytest

from analyzer.save.files.file_state import SETTLED_NS
from analyzer.save.files.region import HEADER_BYTES
from analyzer.save.files.region_marks import RegionMark, mark_regions
from analyzer.save.files.save_files import RegionFile

OLD = 1_700_000_000_123_456_789


def region(folder: Path, rx: int = 0, rz: int = 0) -> RegionFile:
    name = f"r.{rx}.{rz}.mca"
    return RegionFile("quayworks:tide", rx, rz, f"region/{name}", folder / name, folder)


def made(folder: Path) -> RegionFile:
    found = region(folder)
    found.path.write_bytes(bytes(HEADER_BYTES + 4096))
    os.utime(found.path, ns=(OLD, OLD))
    return found


def mark(*regions: RegionFile) -> RegionMark:
    return mark_regions(regions)[regions[0].file]


class Altered:
    """What the system says of a file, but for one thing."""

    def __init__(self, result: os.stat_result, name: str) -> None:
        self._result, self._name = result, name

    def __getattr__(self, name: str) -> Any:
        return getattr(self._result, name) + (name == self._name)


@pytest.mark.parametrize("name", ["st_size", "st_mtime_ns", "st_ctime_ns", "st_ino"])
@pytest.mark.parametrize("call", ["fstat", "lstat"])
def test_each_thing_the_system_says_of_a_file_counts_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, call: str
) -> None:
    found = made(tmp_path)
    (tmp_path / "c.5.31.mcc").write_bytes(b"chunk")
    before = mark(found)
    told = getattr(os, call)
    monkeypatch.setattr(os, call, lambda *given: Altered(told(*given), name))
    after = mark(found)
    monkeypatch.undo()
    assert after.digest != before.digest
    assert mark(found) == before


@pytest.mark.parametrize("at", [0, 4095, 4096, HEADER_BYTES - 1])
def test_each_byte_of_the_header_counts_and_none_behind_it(tmp_path: Path, at: int) -> None:
    found = made(tmp_path)
    same = found.path.stat()

    def written(at: int) -> bytes:
        content = bytearray(HEADER_BYTES + 4096)
        content[at] = 1
        found.path.write_bytes(content)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(os, "fstat", lambda _: same)
            return mark(found).digest

    plain = written(HEADER_BYTES)
    assert written(HEADER_BYTES + 1) == plain
    assert written(at) != plain


def test_a_file_of_a_single_chunk_counts_when_it_comes_changes_and_goes(tmp_path: Path) -> None:
    found = made(tmp_path)
    alone = mark(found).digest
    external = tmp_path / "c.31.0.mcc"
    external.write_bytes(b"chunk")
    there = mark(found).digest
    external.write_bytes(b"chunks")
    longer = mark(found).digest
    external.rename(tmp_path / "c.30.0.mcc")
    renamed = mark(found).digest
    external.with_name("c.30.0.mcc").unlink()
    assert len({alone, there, longer, renamed}) == 4
    assert mark(found).digest == alone


def test_files_of_other_regions_and_other_files_do_not_count(tmp_path: Path) -> None:
    found = made(tmp_path)
    before = mark(found)
    for name in ("c.32.0.mcc", "c.-1.0.mcc", "c.0.mcc", "r.1.0.mca", "note.txt"):
        (tmp_path / name).write_bytes(b"other")
    assert mark(found) == before


def test_a_mark_is_settled_two_seconds_after_the_last_change_of_any_file(tmp_path: Path) -> None:
    found = made(tmp_path)
    changed = found.path.stat().st_ctime_ns
    assert mark(found).changed_ns == changed
    assert not mark(found).is_settled(changed + SETTLED_NS - 1)
    assert mark(found).is_settled(changed + SETTLED_NS)
    external = tmp_path / "c.0.0.mcc"
    external.write_bytes(b"chunk")
    later = changed + 5 * SETTLED_NS
    os.utime(external, ns=(later, later))
    assert mark(found).changed_ns == later


def test_a_time_in_the_future_is_not_settled(tmp_path: Path) -> None:
    found = made(tmp_path)
    now = found.path.stat().st_ctime_ns + 10 * SETTLED_NS
    os.utime(found.path, ns=(now + 1, now + 1))
    assert not mark(found).is_settled(now)


def test_a_short_or_empty_file_has_a_mark(tmp_path: Path) -> None:
    found = region(tmp_path)
    found.path.write_bytes(b"")
    empty = mark(found)
    found.path.write_bytes(b"\1")
    assert mark(found).digest != empty.digest


def test_files_that_are_missing_or_no_files_have_none(tmp_path: Path) -> None:
    region(tmp_path, 1).path.mkdir()
    assert mark_regions([region(tmp_path), region(tmp_path, 1)]) == {}
    assert mark_regions([region(tmp_path / "missing")]) == {}
    assert mark_regions([]) == {}


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege on Windows")
def test_links_have_none(tmp_path: Path) -> None:
    folder = tmp_path / "region"
    folder.mkdir()
    found = made(folder)
    region(folder, 1).path.symlink_to(found.path)
    assert mark_regions([found, region(folder, 1)]).keys() == {found.file}
    (tmp_path / "elsewhere").write_bytes(b"chunk")
    (folder / "c.0.0.mcc").symlink_to(tmp_path / "elsewhere")
    assert mark_regions([found]) == {}


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege on Windows")
def test_files_behind_a_link_out_of_the_save_have_none(tmp_path: Path) -> None:
    (tmp_path / "outside").mkdir()
    made(tmp_path / "outside")
    save = tmp_path / "save"
    save.mkdir()
    (save / "region").symlink_to(tmp_path / "outside")
    name = "r.0.0.mca"
    led = RegionFile("quayworks:tide", 0, 0, f"region/{name}", save / "region" / name, save)
    assert mark_regions([led]) == {}
