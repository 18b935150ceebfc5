"""Whatever is wrong with a cache, the audit goes on and says the same; no save is written to."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

from analyzer.base.errors import UsageError
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.cache import Cache
from tests.support.kept import FILES, Bench
from tests.support.saves import save_of


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    return Bench(tmp_path, monkeypatch)


def test_a_cache_that_is_cut_off_or_altered_is_made_again_with_one_note(bench: Bench) -> None:
    bench.audit()
    whole = bench.store().read_bytes()
    for size in (0, 30, 200, len(whole) - 1):
        bench.store().write_bytes(whole[:size])
        bench.notes.clear()
        assert bench.audit()[0]
        assert len(bench.notes) == 1
        assert bench.audit()[0] == []
        assert len(bench.notes) == 1
    assert "damaged" in bench.notes[0]


def test_a_record_that_makes_no_sense_is_read_again(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("analyzer.pipeline.cache.encode_record", lambda _: b"no record")
        bench.audit()
    assert bench.audit()[0] == FILES
    assert bench.audit()[0] == []
    assert len(bench.notes) == 1


def test_a_folder_that_cannot_be_written_is_told_once_and_changes_nothing(bench: Bench) -> None:
    (bench.save.parent / "file").write_bytes(b"")
    bench.folder = bench.save.parent / "file" / "cache"
    assert bench.audit()[0] == FILES
    (note,) = bench.notes
    assert "cannot be written" in note
    assert str(bench.folder) in note


def test_a_full_disk_is_told_once_and_changes_nothing(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("analyzer.store.store.head_and_index", full)
    assert bench.audit()[0] == FILES
    assert bench.notes == [
        f"no cache is kept: {bench.folder} cannot be written: no space left on device"
    ]
    assert list(bench.folder.glob("*.store*")) == []


def test_the_save_stays_as_it_was(bench: Bench) -> None:
    def seen() -> dict[str, Any]:
        return {
            str(path): (path.stat().st_mtime_ns, path.stat().st_ctime_ns, path.is_dir())
            for path in (bench.save, *bench.save.rglob("*"))
        }

    before = seen()
    bench.audit()
    bench.audit()
    assert seen() == before


@pytest.mark.parametrize("inside", [".", "region", "new/cache"])
def test_a_folder_inside_the_save_is_refused(bench: Bench, inside: str) -> None:
    bench.folder = bench.save / inside
    with pytest.raises(UsageError, match="lies inside the save"):
        bench.audit()
    bench.save /= "region"
    with pytest.raises(UsageError, match="lies inside the save"):
        bench.audit()
    assert bench.read == []


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege on Windows")
def test_a_folder_that_is_a_link_into_the_save_is_refused(bench: Bench) -> None:
    bench.folder.symlink_to(bench.save)
    with pytest.raises(UsageError, match="lies inside the save"):
        bench.audit()


def test_a_folder_in_another_save_is_refused(bench: Bench, tmp_path: Path) -> None:
    bench.folder = save_of(tmp_path / "other", ()) / "cache"
    with pytest.raises(UsageError, match="lies inside the save"):
        bench.audit()


def test_a_folder_that_holds_the_save_is_refused(bench: Bench) -> None:
    bench.folder = bench.save.parent
    with pytest.raises(UsageError, match="lies inside it"):
        bench.audit()


def test_a_file_in_place_of_the_folder_is_refused(bench: Bench) -> None:
    bench.folder.write_bytes(b"")
    with pytest.raises(UsageError, match="is no folder"):
        bench.audit()


def test_a_folder_that_nobody_named_and_that_cannot_be_used_is_told_alone(bench: Bench) -> None:
    notes: list[str] = []
    cache = Cache(bench.save / "cache", notes.append, by_default=True)
    audit_save(bench.save, catalogues=["quayworks"], cache=cache)
    assert len(notes) == 1
    assert "lies inside the save" in notes[0]
    assert not cache.folder.exists()
