"""An audit reads again what may have changed and nothing else, and says the same in any case."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.catalogue.load import load_catalogue_text
from analyzer.demo.manner import Manner
from analyzer.pipeline import cache_identity
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.cache import Cache
from analyzer.save.files.region_marks import mark_regions
from analyzer.save.sift import whole_read
from tests.support.demo import demo_audit, demo_save
from tests.support.kept import FILES, LINE, PLACES, SECOND_NS, Bench, everything
from tests.support.saves import save_of
from tests.support.sketch import sketch


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    return Bench(tmp_path, monkeypatch)


def test_a_save_that_has_not_changed_is_not_read_again(bench: Bench) -> None:
    assert bench.audit()[0] == FILES
    written = bench.store().stat().st_ino
    assert bench.audit()[0] == []
    assert bench.audit(policy=demo_audit().policy, box=None)[0] == []
    assert bench.store().stat().st_ino == written
    assert bench.notes == []


def test_only_the_region_that_has_changed_is_read_again(bench: Bench, tmp_path: Path) -> None:
    _, before = bench.audit()
    other = save_of(tmp_path / "other", bench.lines("wheel:e shaft:x . layer:e", LINE, LINE))
    (bench.save / FILES[0]).write_bytes((other / FILES[0]).read_bytes())
    read, after = bench.audit()
    assert read == FILES[:1]
    assert after != before
    assert bench.audit()[0] == []


def test_of_a_region_that_has_changed_only_chunks_of_other_bytes_are_parsed(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hall = (*sketch(LINE, at=(200, 64, 200)), *sketch(LINE, at=(300, 64, 40)))
    save_of(tmp_path, (*hall, *bench.lines(LINE, LINE, LINE)))
    bench.audit()
    other = save_of(tmp_path / "other", (*hall, *sketch("wheel:e shaft:x .", at=PLACES[0])))
    (bench.save / FILES[0]).write_bytes((other / FILES[0]).read_bytes())
    read_chunk, parsed = whole_read.read_chunk, []

    def counted(stream: Any, chunk: Chunk, *args: Any, **options: Any) -> Any:
        parsed.append(chunk)
        return read_chunk(stream, chunk, *args, **options)

    monkeypatch.setattr(whole_read, "read_chunk", counted)
    audit_save(bench.save, catalogues=["quayworks"])
    assert {(2, 2), (12, 12), (18, 2)} <= set(parsed)
    parsed.clear()
    audit_save(bench.save, catalogues=["quayworks"], cache=bench.cache())
    assert (2, 2) in parsed
    assert not {(12, 12), (18, 2)} & set(parsed)
    assert bench.audit()[0] == []


def touched(path: Path, **changes: int) -> Callable[[Any], Any]:
    """Return what makes the system say something else of one file."""
    inode = path.stat().st_ino

    class Altered:
        def __init__(self, result: os.stat_result) -> None:
            self._result = result

        def __getattr__(self, name: str) -> Any:
            return getattr(self._result, name) + changes.get(name, 0)

    return lambda result: Altered(result) if result.st_ino == inode else result


@pytest.mark.parametrize("name", ["st_size", "st_mtime_ns", "st_ctime_ns", "st_ino"])
def test_a_region_is_read_again_when_one_thing_about_its_file_differs(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    bench.audit()
    altered = touched(bench.save / FILES[0], **{name: 1})
    fstat = os.fstat
    monkeypatch.setattr(os, "fstat", lambda number: altered(fstat(number)))
    assert bench.audit()[0] == FILES[:1]
    assert bench.audit()[0] == []


def test_a_region_is_read_again_when_its_header_alone_differs(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.audit()
    path = bench.save / FILES[1]
    before = path.stat()
    content = bytearray(path.read_bytes())
    content[8191] ^= 1
    path.write_bytes(content)
    assert path.stat().st_ino == before.st_ino
    fstat = os.fstat
    monkeypatch.setattr(
        os,
        "fstat",
        lambda number: before if fstat(number).st_ino == before.st_ino else fstat(number),
    )
    assert bench.audit()[0] == FILES[1:2]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no change time of a file")
def test_a_file_whose_modification_time_was_put_back_is_read_again(bench: Bench) -> None:
    bench.audit()
    path = bench.save / FILES[0]
    before = path.stat()
    path.write_bytes(path.read_bytes())
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert bench.audit()[0] == FILES[:1]


def test_a_file_in_place_of_another_is_read_again(bench: Bench) -> None:
    bench.audit()
    path = bench.save / FILES[0]
    fresh = path.with_name("fresh")
    fresh.write_bytes(path.read_bytes())
    os.utime(fresh, ns=(path.stat().st_mtime_ns,) * 2)
    fresh.replace(path)
    assert bench.audit()[0] == FILES[:1]


def test_a_file_younger_than_two_seconds_is_not_kept(bench: Bench) -> None:
    changed = max((bench.save / name).stat().st_ctime_ns for name in FILES)
    bench.later_ns = changed + 2 * SECOND_NS - time.time_ns() - SECOND_NS
    bench.audit()
    assert not bench.folder.exists()
    bench.later_ns = 60 * SECOND_NS
    assert bench.audit()[0] == FILES
    assert bench.audit()[0] == []
    # What was kept once counts, however the clock is set.
    bench.later_ns = -60 * SECOND_NS
    assert bench.audit()[0] == []


def test_another_version_reads_all_again(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.audit()
    monkeypatch.setattr(cache_identity, "VERSION", "9.9.9")
    assert bench.audit()[0] == FILES


def test_other_code_of_the_same_version_reads_all_again(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.audit()
    monkeypatch.setattr(cache_identity, "_PACKAGES", ("save",))
    assert bench.audit()[0] == FILES


@pytest.mark.parametrize("name", ["inflated_bytes", "tags", "depth", "template_blocks"])
def test_other_limits_read_all_again(bench: Bench, name: str) -> None:
    bench.audit()
    other = Limits(**{name: getattr(Limits(), name) - 1})
    assert bench.audit(limits=other)[0] == FILES
    assert bench.audit(limits=other)[0] == []
    assert bench.audit()[0] == []


def test_a_catalogue_that_asks_for_something_else_reads_all_again(bench: Bench) -> None:
    text = """
[catalogue]
format = 1
title = "Boats"
namespace = "quayworks"
version = "1"
licence = "MIT"
[parts."quayworks:line_shaft"]
role = "transmission"
entity = ["quayworks:line_shaft"]
pose = {axis = "axis"}
ends = {front = 1, back = 1}
"""
    bench.audit()
    one = load_catalogue_text(text, "one")
    assert bench.audit(catalogues=one)[0] == FILES
    # Another ratio asks for nothing else.
    same = load_catalogue_text(text.replace("back = 1", "back = 2"), "same")
    assert bench.audit(catalogues=same)[0] == []
    longer = text.replace('["quayworks:line_shaft"]', '["quayworks:line_shaft", "quayworks:oar"]')
    more = load_catalogue_text(longer, "more")
    assert bench.audit(catalogues=more)[0] == FILES
    assert bench.audit()[0] == []


def test_reading_every_byte_trusts_nothing_that_was_kept(bench: Bench) -> None:
    assert bench.audit(every_byte=True)[0] == FILES
    assert bench.audit(every_byte=True)[0] == FILES
    assert not bench.folder.exists()


def test_a_file_of_a_single_chunk_that_changes_has_its_region_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(tmp_path, monkeypatch)
    save_of(tmp_path, bench.lines(LINE, LINE, LINE), manner=Manner(external=True))
    assert bench.audit()[0] == FILES
    external = bench.save / "region" / "c.2.2.mcc"
    content = external.read_bytes()
    external.unlink()
    assert bench.audit()[0] == FILES[:1]
    assert bench.audit()[0] == []
    external.write_bytes(content)
    assert bench.audit()[0] == FILES[:1]
    external.write_bytes(content[:-9])
    assert bench.audit()[0] == FILES[:1]


def test_one_dimension_alone_leaves_what_is_known_of_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(tmp_path, monkeypatch)
    bench.save = demo_save()
    some = bench.audit(dimensions=["quayworks:undercroft"])[0]
    rest = bench.audit()[0]
    assert some
    assert rest
    assert not set(some) & set(rest)
    assert bench.audit(dimensions=["quayworks:undercroft"])[0] == []
    assert bench.audit()[0] == []


def test_a_bare_region_folder_may_be_named_anew(bench: Bench) -> None:
    bench.save /= "region"
    bench.audit()
    read, report = bench.audit(dimension_name="quayworks:ebb")
    assert read == []
    assert "quayworks:ebb" in report


def test_what_is_known_of_files_that_are_gone_is_dropped(bench: Bench) -> None:
    bench.audit()
    before = bench.store().stat().st_size
    (bench.save / FILES[0]).unlink()
    assert bench.audit()[0] == []
    assert bench.store().stat().st_size < before


def test_a_region_that_cannot_be_opened_is_tried_each_time(bench: Bench) -> None:
    bench.audit()
    path = bench.save / FILES[0]
    path.rename(path.with_name("elsewhere"))
    path.mkdir()
    assert bench.audit()[0] == FILES[:1]
    assert bench.audit()[0] == FILES[:1]
    path.rmdir()
    path.with_name("elsewhere").rename(path)
    bench.audit()
    assert bench.audit()[0] == []


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege on Windows")
def test_a_folder_that_became_a_link_out_of_the_save_is_no_longer_known(bench: Bench) -> None:
    bench.audit()
    (bench.save / "region").rename(bench.save.parent / "outside")
    (bench.save / "region").symlink_to(bench.save.parent / "outside")
    _, report = bench.audit()
    assert "link-leaves-save" in report


def test_two_saves_of_the_same_files_are_kept_apart(bench: Bench, tmp_path: Path) -> None:
    bench.audit()
    other = save_of(tmp_path / "other", bench.lines("wheel:e shaft:x .", LINE, "layer:e . ."))
    bench.save, one = other, bench.save
    assert bench.audit()[0] == FILES
    assert bench.audit()[0] == []
    bench.save = one
    assert bench.audit()[0] == []


def test_the_demo_save_gives_the_same_with_all_with_half_and_with_nothing_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = Bench(tmp_path, monkeypatch)
    bench.save = demo_save()
    here = everything(demo_audit())
    read, report = bench.audit()
    assert report == here
    half = set(read[::2])
    monkeypatch.setattr(
        "analyzer.pipeline.cache.mark_regions",
        lambda regions: mark_regions([one for one in regions if one.file not in half]),
    )
    with ThreadPoolExecutor(3) as threads:
        some, report = bench.audit(executor=threads)
    assert set(some) == half
    assert report == here


def test_audits_at_once_say_the_same(bench: Bench) -> None:
    cache = Cache(bench.folder, bench.notes.append, clock_ns=lambda: time.time_ns() + 10**11)

    def audit(_: int) -> str:
        return everything(audit_save(bench.save, catalogues=["quayworks"], cache=cache))

    with ThreadPoolExecutor(4) as threads:
        reports = set(threads.map(audit, range(12)))
    assert reports == {everything(audit_save(bench.save, catalogues=["quayworks"]))}
    assert bench.notes == []
    assert bench.audit()[0] == []
