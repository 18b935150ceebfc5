"""A store gives back what was put into it, or nothing, and never fails for what a file holds."""

from __future__ import annotations

import io
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.store import packed, store
from analyzer.store.folder import store_path
from analyzer.store.packed import Piece, digest_of, head_and_index
from analyzer.store.store import Store

ONE, OTHER = b"1" * 32, b"2" * 32
PIECES = {"region/r.0.0.mca": b"shaft", "region/r.1.0.mca": b"", "r\ud800\n": bytes(range(256))}


def written(folder: Path, pieces: dict[str, bytes] = PIECES, identity: bytes = ONE) -> Path:
    with Store(folder, identity) as fresh:
        for name, data in pieces.items():
            fresh.put(name, mark_of(name), data)
        fresh.write()
    return store_path(folder, identity)


def mark_of(name: str) -> bytes:
    return f"mark of {name}".encode("utf-8", "surrogatepass")


def found(folder: Path, identity: bytes = ONE) -> dict[str, bytes]:
    with Store(folder, identity) as there:
        each = {name: there.find(name, mark_of(name)) for name in PIECES}
    return {name: data for name, data in each.items() if data is not None}


def test_what_was_written_is_found_again(tmp_path: Path) -> None:
    written(tmp_path / "deep" / "cache")
    assert found(tmp_path / "deep" / "cache") == PIECES


def test_a_piece_with_another_mark_or_name_is_not_found(tmp_path: Path) -> None:
    written(tmp_path)
    with Store(tmp_path, ONE) as there:
        assert there.find("region/r.0.0.mca", b"another") is None
        assert there.find("region/r.2.0.mca", mark_of("region/r.2.0.mca")) is None
        assert not there.damaged


def test_another_identity_is_another_store(tmp_path: Path) -> None:
    written(tmp_path)
    assert found(tmp_path, OTHER) == {}
    written(tmp_path, {}, OTHER)
    assert found(tmp_path) == PIECES


def test_a_store_under_the_name_of_another_is_foreign(tmp_path: Path) -> None:
    written(tmp_path).rename(store_path(tmp_path, OTHER))
    with Store(tmp_path, OTHER) as there:
        assert there.damaged
    assert found(tmp_path, OTHER) == {}


def test_nothing_is_written_without_write_or_where_nothing_changed(tmp_path: Path) -> None:
    with Store(tmp_path / "cache", ONE) as fresh:
        fresh.put("name", b"mark", b"data")
    assert not (tmp_path / "cache").exists()
    with Store(tmp_path / "cache", ONE) as fresh:
        fresh.write()
    assert not (tmp_path / "cache").exists()
    path = written(tmp_path / "cache")
    inode = path.stat().st_ino
    os.utime(path, (1, 1))
    with Store(tmp_path / "cache", ONE) as there:
        there.write()
    assert path.stat().st_ino == inode
    # It was used, so it is not among those that go first.
    assert path.stat().st_mtime > 1


def test_a_new_piece_takes_the_place_of_the_old_one_and_the_others_stay(tmp_path: Path) -> None:
    written(tmp_path)
    with Store(tmp_path, ONE) as there:
        there.put("region/r.0.0.mca", mark_of("region/r.0.0.mca"), b"gear")
        there.write()
    assert found(tmp_path) == PIECES | {"region/r.0.0.mca": b"gear"}


def test_pieces_of_names_that_are_gone_are_dropped(tmp_path: Path) -> None:
    path = written(tmp_path)
    before = path.stat().st_size
    with Store(tmp_path, ONE) as there:
        there.keep_only({"region/r.0.0.mca", "region/r.7.7.mca"})
        there.write()
    assert found(tmp_path) == {"region/r.0.0.mca": b"shaft"}
    assert path.stat().st_size < before


def test_a_rejected_piece_is_gone_and_told_as_damage(tmp_path: Path) -> None:
    written(tmp_path)
    with Store(tmp_path, ONE) as there:
        there.reject("region/r.0.0.mca")
        assert there.damaged
        there.write()
    assert "region/r.0.0.mca" not in found(tmp_path)


def test_a_file_cut_off_at_any_byte_gives_nothing_wrong(tmp_path: Path) -> None:
    path = written(tmp_path)
    whole = path.read_bytes()
    for size in range(len(whole)):
        path.write_bytes(whole[:size])
        assert found(tmp_path).items() <= PIECES.items()


@given(st.data())
def test_flipped_bits_give_nothing_wrong(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("flipped")
    path = written(folder)
    content = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 3))):
        bit = data.draw(st.integers(0, 8 * len(content) - 1))
        content[bit >> 3] ^= 1 << (bit & 7)
    path.write_bytes(content)
    assert found(folder).items() <= PIECES.items()


@given(st.binary(max_size=300))
def test_any_other_bytes_are_an_empty_store(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    folder = tmp_path_factory.mktemp("foreign")
    store_path(folder, ONE).write_bytes(content)
    assert found(folder) == {}
    written(folder)
    assert found(folder) == PIECES


@pytest.mark.parametrize(
    "text",
    [
        b"[" * 100_000,
        b"{}",
        b"7",
        b"null",
        b"[7]",
        b'[["name"]]',
        b'[["name", "00", -1, "00"]]',
        b'[["name", "00", 1e3, "00"]]',
        b'[["name", "00", true, "00"]]',
        b'[["name", "xx", 1, "00"]]',
        b'[["name", 7, 1, "00"]]',
        b'[[["name"], "00", 1, "00"]]',
        b'[["name", "00", 99999999999999999999999999, "00"]]',
        b"[" + b"9" * 10_000 + b"]",
        b"\xff",
    ],
)
def test_an_index_that_makes_no_sense_is_an_empty_store(tmp_path: Path, text: bytes) -> None:
    head = packed._HEAD.pack(packed.MAGIC, ONE, len(text), digest_of(text))
    store_path(tmp_path, ONE).write_bytes(head + text)
    with Store(tmp_path, ONE) as there:
        assert there.find("name", b"\0") is None


def test_a_length_beyond_all_bounds_is_not_believed(tmp_path: Path) -> None:
    head = packed._HEAD.pack(packed.MAGIC, ONE, 2**63, digest_of(b""))
    store_path(tmp_path, ONE).write_bytes(head)
    assert found(tmp_path) == {}


def test_a_store_larger_than_any_of_ours_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path)
    monkeypatch.setattr(store, "MOST_STORE_BYTES", path.stat().st_size - 1)
    with Store(tmp_path, ONE) as there:
        assert there.damaged
    assert found(tmp_path) == {}


def test_what_would_make_a_store_too_large_is_not_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "MOST_STORE_BYTES", store.MOST_INDEX_BYTES + 5)
    written(tmp_path)
    assert found(tmp_path) == {"region/r.0.0.mca": b"shaft", "region/r.1.0.mca": b""}


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such modes")
def test_a_store_that_others_may_write_is_not_trusted(tmp_path: Path) -> None:
    path = written(tmp_path)
    assert path.stat().st_mode & 0o777 == 0o600
    path.chmod(0o622)
    with Store(tmp_path, ONE) as there:
        assert there.damaged
    assert found(tmp_path) == {}


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege on Windows")
def test_a_link_in_the_place_of_a_store_is_not_followed(tmp_path: Path) -> None:
    path = written(tmp_path)
    elsewhere = path.rename(tmp_path / "elsewhere")
    before = elsewhere.read_bytes()
    path.symlink_to(elsewhere)
    assert found(tmp_path) == {}
    written(tmp_path, {"name": b"data"})
    assert not path.is_symlink()
    assert elsewhere.read_bytes() == before


def test_a_folder_or_pipe_in_the_place_of_a_store_is_an_empty_store(tmp_path: Path) -> None:
    store_path(tmp_path, ONE).mkdir()
    assert found(tmp_path) == {}
    if hasattr(os, "mkfifo"):
        os.mkfifo(store_path(tmp_path, OTHER))
        assert found(tmp_path, OTHER) == {}


def test_a_folder_that_cannot_be_written_raises_and_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with Store(tmp_path / "file" / "cache", ONE) as there:
        there.put("name", b"mark", b"data")
        with pytest.raises(FileExistsError):
            there.write()
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_full_disk_leaves_the_old_store_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(tmp_path)

    def full(*_: object) -> bytes:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch, Store(tmp_path, ONE) as there:
        patch.setattr(store, "head_and_index", full)
        there.put("region/r.0.0.mca", mark_of("region/r.0.0.mca"), b"gear")
        with pytest.raises(OSError, match="No space"):
            there.write()
    assert found(tmp_path) == PIECES
    assert [path.suffix for path in tmp_path.iterdir()] == [".store"]


def write_many(folder: str, letter: str) -> None:
    for number in range(40):
        with Store(Path(folder), ONE) as there:
            for name in PIECES:
                data = there.find(name, b"mark")
                assert data is None or data == bytes([data[0]]) * 10_000
                there.put(name, b"mark", letter.encode() * 10_000)
            there.put(str(number), b"mark", b"")
            there.write()
            assert not there.damaged


def test_two_that_write_at_once_leave_the_whole_of_one(tmp_path: Path) -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        list(pool.map(write_many, [str(tmp_path)] * 2, "ab"))
    assert [path.name for path in tmp_path.iterdir()] == [store_path(tmp_path, ONE).name]
    with Store(tmp_path, ONE) as there:
        letters = {there.find(name, b"mark") for name in PIECES}
    assert letters in ({b"a" * 10_000}, {b"b" * 10_000})


def test_the_index_alone_says_what_follows_it() -> None:
    piece = Piece(b"mark", 0, 3, digest_of(b"abc"))
    head = head_and_index(ONE, [("name", piece)])
    read = packed.read_index(io.BytesIO(head + b"abc"), len(head) + 3, ONE)
    assert read == {"name": Piece(b"mark", len(head), 3, digest_of(b"abc"))}
    assert packed.read_piece(io.BytesIO(head + b"abc"), read["name"]) == b"abc"
