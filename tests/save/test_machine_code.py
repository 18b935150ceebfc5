"""When machine code is loaded and made, and where it is kept."""

from __future__ import annotations

import os
import struct
import sys
from pathlib import Path
from typing import Any

import pytest

from analyzer.base.limits import Limits
from analyzer.save.compiled import image, keep, load, objects
from analyzer.save.compiled.load import chunks_ahead, kernel_if_worth, kernel_of
from analyzer.save.compiled.octets import STACK_ROOM
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.scan.wanted import Wanted
from tests.save.chunks import chunk_tree, region, region_file, stored
from tests.support.kernel import compiled_kernel, made_code

CODE = {"walk_chunk": ("walk", b"\x7fwalk"), "may_hold": ("hold", b"\x7f\nhold")}
ENTRIES = {"walk_chunk", "chart_chunk", "may_hold"}

maps = pytest.mark.skipif(sys.platform != "linux", reason="code is mapped on Linux")


@pytest.fixture(autouse=True)
def nothing_loaded(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setattr(load, "_kernel", None)
    monkeypatch.setattr(load, "_tried", set())
    monkeypatch.setattr(keep, "_FOLDER", tmp_path / "kept")
    return tmp_path / "kept"


@pytest.fixture
def llvmlite() -> Any:
    return pytest.importorskip("llvmlite")


@pytest.fixture
def ways(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Tell which ways to the kernel were tried; none of them leads there."""
    tried: list[str] = []

    def way(name: str) -> Any:
        return lambda: tried.append(name)

    seconds = [worth for worth, _ in load._WAYS]
    names = ("mapped", "loaded", "made")
    monkeypatch.setattr(
        load, "_WAYS", [(worth, way(name)) for worth, name in zip(seconds, names, strict=True)]
    )
    return tried


def test_what_is_saved_decides_what_is_tried_and_nothing_is_tried_twice(ways: list[str]) -> None:
    tried = []
    # A larger save may come in the same process.
    for seconds in (0.005, 0.05, 0.06, 1.0, 1e6, 1e6):
        assert kernel_if_worth(seconds) is None
        tried.append(len(ways))
    assert ways == ["mapped", "loaded", "made"]
    assert tried == [0, 1, 1, 2, 3, 3]


def test_code_is_not_made_where_nothing_shall_be_written(
    monkeypatch: pytest.MonkeyPatch, nothing_loaded: Path
) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert kernel_if_worth(1e6) is None
    assert not nothing_loaded.exists()


def test_code_is_made_once_and_kept_beside_the_byte_code(
    monkeypatch: pytest.MonkeyPatch, nothing_loaded: Path
) -> None:
    compiled_kernel()
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    first = kernel_if_worth(1e6)
    assert first is not None
    (kept,) = nothing_loaded.iterdir()
    assert kept.name.startswith("kernel-")
    for name in ("_kernel", "_tried"):
        monkeypatch.setattr(load, name, None if name == "_kernel" else {load._made})
    assert kernel_if_worth(0.2) is not None
    assert kernel_if_worth(0) is load._kernel


def test_nothing_is_there_where_the_compiler_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("llvmlite", "numba"):
        monkeypatch.setitem(sys.modules, name, None)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    assert kernel_if_worth(1e6) is None


@pytest.mark.parametrize("name", ["map_image", "kept_objects", "keep_code"])
def test_what_is_raised_costs_the_speed_alone(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    def broken(*_: Any) -> Any:
        raise SyntaxError("another version")

    compiled_kernel()
    monkeypatch.setattr(load, name, broken)
    monkeypatch.setattr("analyzer.save.compiled.build.make_code", dict, raising=False)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    assert kernel_if_worth(1e6) is None


@maps
def test_an_image_says_what_the_object_files_do(nothing_loaded: Path) -> None:
    kept = image.keep_image(made_code())
    assert kept is not None
    assert kept.suffix == ".image"
    entries = image.map_image()
    assert entries is not None
    assert set(entries) == ENTRIES
    import ctypes

    room = [ctypes.create_string_buffer(size) for size in (8 * 300_000, 8 * STACK_ROOM)]
    at = [ctypes.addressof(one) for one in room]
    data = chunk_tree(3, -2, last=True)
    said = []
    for kernel in (compiled_kernel(), kernel_of(entries)):
        for walk in (kernel.walk_chunk, kernel.chart_chunk):
            said.append((walk(data, len(data), *at), room[0].raw[:400]))
            ctypes.memset(at[0], 0, 400)
    assert said[:2] == said[2:]


@maps
def test_an_image_is_mapped_without_the_compiler(monkeypatch: pytest.MonkeyPatch) -> None:
    image.keep_image(made_code())
    for name in ("llvmlite", "numba"):
        monkeypatch.setitem(sys.modules, name, None)
    assert kernel_if_worth(0.02) is not None


@maps
def test_a_damaged_image_is_not_mapped() -> None:
    kept = image.keep_image(made_code())
    assert kept is not None
    whole = kept.read_bytes()
    for data in (b"", whole[:-1], whole + b"\n", whole[:-9] + b"\x90" + whole[-8:], b"\n" + whole):
        kept.write_bytes(data)
        assert image.map_image() is None


@maps
def test_an_image_for_another_processor_is_not_mapped(monkeypatch: pytest.MonkeyPatch) -> None:
    image.keep_image(made_code())
    for other in ("abacus", None):
        monkeypatch.setattr(image, "_processor", lambda other=other: other)
        assert image.map_image() is None
    assert image.keep_image(made_code()) is None


@maps
def test_a_system_that_maps_no_code_costs_the_speed_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def forbidden(*_: Any) -> Any:
        raise OSError("not here")

    image.keep_image(made_code())
    monkeypatch.setattr(image, "_mapped", forbidden)
    assert kernel_if_worth(0.02) is None


@maps
def test_code_that_needs_more_than_itself_makes_no_image() -> None:
    whole = {name: data for name, (_, data) in made_code().items()}
    assert all(map(image.runnable_piece, whole.values()))
    data = whole["walk_chunk"]
    (sections_at,) = struct.unpack_from("<Q", data, 40)
    (count,) = struct.unpack_from("<H", data, 60)
    # Each section in turn becomes one of relocations, or of data that would have to be loaded.
    for number in range(1, count):
        kind_at = sections_at + 64 * number + 4
        kind, flags = struct.unpack_from("<IQ", data, kind_at)
        for other in ((4, flags), (9, flags), (kind, flags ^ 2)):
            if other == (kind, flags) or data[kind_at + 28 : kind_at + 36] == bytes(8):
                continue
            changed = bytearray(data)
            struct.pack_into("<IQ", changed, kind_at, *other)
            assert image.runnable_piece(bytes(changed)) is None
    for damaged in (b"", data[:64], b"MZ" + data[2:], data[:4] + b"\x01" + data[5:]):
        assert image.runnable_piece(damaged) is None


def test_kept_object_files_come_back_as_they_were(llvmlite: Any) -> None:
    assert objects.kept_objects() is None
    objects.keep_objects(CODE)
    assert objects.kept_objects() == CODE


@pytest.mark.skipif(os.name != "posix", reason="permissions are those of POSIX")
def test_kept_code_can_be_read_by_those_who_did_not_make_it(llvmlite: Any) -> None:
    assert objects.keep_objects(CODE).stat().st_mode & 0o777 == 0o644


def test_a_system_that_runs_no_made_code_costs_the_speed_alone(
    llvmlite: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from llvmlite import binding

    def forbidden() -> None:
        raise OSError("not here")

    objects.keep_objects(CODE)
    monkeypatch.setattr(binding, "check_jit_execution", forbidden)
    assert kernel_if_worth(1.0) is None


def test_damaged_object_files_are_not_loaded(llvmlite: Any) -> None:
    path = objects.keep_objects(CODE)
    whole = path.read_bytes()
    for data in (b"", whole[:-1], whole + b"\n", whole.replace(b"hold", b"hole"), b"\n" + whole):
        path.write_bytes(data)
        assert objects.kept_objects() is None


def test_object_files_for_another_processor_or_version_are_not_loaded(
    llvmlite: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from llvmlite import binding

    objects.keep_objects(CODE)
    with monkeypatch.context() as patch:
        patch.setattr(binding, "get_host_cpu_name", lambda: "abacus")
        assert objects.kept_objects() is None
        other = objects.keep_objects(CODE)
    with monkeypatch.context() as patch:
        patch.setattr(keep, "_SOURCES", keep._SOURCES[:1])
        assert objects.kept_objects() is None
        # What was kept for another version can go; that for another processor may be needed.
        kept = objects.keep_objects(CODE)
        assert set(kept.parent.iterdir()) == {kept, other}
    assert objects.kept_objects() is None


def test_a_folder_that_cannot_be_written_costs_the_speed_alone(
    llvmlite: Any, monkeypatch: pytest.MonkeyPatch, nothing_loaded: Path
) -> None:
    compiled_kernel()
    nothing_loaded.write_text("no folder")
    with pytest.raises(FileExistsError):
        objects.keep_objects(CODE)
    monkeypatch.setattr("analyzer.save.compiled.build.make_code", made_code)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    assert kernel_if_worth(1e6) is None


def test_one_process_has_its_share_of_the_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 4)
    assert chunks_ahead(1000, 1) == 1000
    assert chunks_ahead(1000, 3) == 1000
    assert chunks_ahead(1000, 40) == 10_000


def test_a_scan_asks_for_what_it_can_save(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    asked = []
    monkeypatch.setattr("analyzer.save.sift.whole_sift.kernel_if_worth", asked.append)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    data = region({x: stored(chunk_tree(x, 0, last=True)) for x in range(10)})
    file = region_file(tmp_path, data)
    wanted = Wanted({"quayworks:shaft": ()})
    scan_region(file, wanted, Limits(), sources=1000)
    # Short chunks cost little, wherever their list stands.
    assert asked == []
    scan_region(file, Wanted({}, frozenset({"quayworks:keel"})), Limits(), sources=1000)
    assert asked == [pytest.approx(5000 * 3.4e-6)]
