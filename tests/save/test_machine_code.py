"""When machine code is loaded and made, and where it is kept."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import pytest

from analyzer.base.limits import Limits
from analyzer.save.compiled import keep, load
from analyzer.save.compiled.load import chunks_ahead, kernel_if_worth
from analyzer.save.scan_region import scan_region
from analyzer.save.wanted import Wanted
from tests.save.chunks import chunk_tree, region, region_file, stored
from tests.support.kernel import compiled_kernel

CODE = {"walk_chunk": ("walk", b"\x7fwalk"), "may_hold": ("hold", b"\x7f\nhold")}


@pytest.fixture(autouse=True)
def nothing_loaded(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(load, "_kernel", None)
    monkeypatch.setattr(load, "_missing", False)
    monkeypatch.setattr(keep, "_FOLDER", tmp_path / "kept")


@pytest.fixture
def llvmlite() -> Any:
    return pytest.importorskip("llvmlite")


def test_a_small_save_does_without(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load, "has_code", lambda: pytest.fail("it was looked for"))
    assert kernel_if_worth(0.05) is None


def test_code_is_not_made_for_a_save_that_takes_less_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(load, "_made", lambda: pytest.fail("it was made"))
    assert kernel_if_worth(1.0) is None
    # A larger save may come in the same process.
    assert load._missing is False


def test_code_is_not_made_where_nothing_shall_be_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    monkeypatch.setattr(load, "_made", lambda: pytest.fail("it was made"))
    assert kernel_if_worth(1e6) is None


def test_code_is_made_once_and_kept_beside_the_byte_code(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    compiled_kernel()
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    first = kernel_if_worth(1e6)
    assert first is not None
    (kept,) = (tmp_path / "kept").iterdir()
    assert kept.name.startswith("kernel-")
    monkeypatch.setattr(load, "_kernel", None)
    monkeypatch.setattr(load, "_made", lambda: pytest.fail("it was made again"))
    assert kernel_if_worth(0.2) is not None
    assert kernel_if_worth(0) is load._kernel


def test_nothing_is_missing_where_the_compiler_is(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("llvmlite", "numba"):
        monkeypatch.setitem(sys.modules, name, None)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    assert kernel_if_worth(1e6) is None
    assert load._missing is True


def test_what_the_compiler_raises_costs_the_speed_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> Any:
        raise SyntaxError("another version")

    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(load, "kept_code", lambda: None)
    monkeypatch.setattr(load, "_made", broken)
    assert kernel_if_worth(1e6) is None


def test_kept_code_comes_back_as_it_was(llvmlite: Any) -> None:
    assert not keep.has_code()
    assert keep.kept_code() is None
    keep.keep_code(CODE)
    assert keep.has_code()
    assert keep.kept_code() == CODE


@pytest.mark.skipif(os.name != "posix", reason="permissions are those of POSIX")
def test_kept_code_can_be_read_by_those_who_did_not_make_it(llvmlite: Any) -> None:
    assert keep.keep_code(CODE).stat().st_mode & 0o777 == 0o644


def test_a_system_that_runs_no_made_code_costs_the_speed_alone(
    llvmlite: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from llvmlite import binding

    def forbidden() -> None:
        raise OSError("not here")

    keep.keep_code(CODE)
    monkeypatch.setattr(binding, "check_jit_execution", forbidden)
    assert kernel_if_worth(1.0) is None
    assert load._missing is True


def test_damaged_code_is_not_loaded(llvmlite: Any) -> None:
    path = keep.keep_code(CODE)
    whole = path.read_bytes()
    for data in (b"", whole[:-1], whole + b"\n", whole.replace(b"hold", b"hole"), b"\n" + whole):
        path.write_bytes(data)
        assert keep.kept_code() is None


def test_code_for_another_processor_or_version_is_not_loaded(
    llvmlite: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from llvmlite import binding

    keep.keep_code(CODE)
    with monkeypatch.context() as patch:
        patch.setattr(binding, "get_host_cpu_name", lambda: "abacus")
        assert keep.kept_code() is None
        other = keep.keep_code(CODE)
    with monkeypatch.context() as patch:
        patch.setattr(llvmlite, "__version__", "0.0")
        assert keep.kept_code() is None
        # What was kept for another version can go; that for another processor may be needed.
        kept = keep.keep_code(CODE)
        assert set(kept.parent.iterdir()) == {kept, other}
    assert keep.kept_code() is None


def test_a_folder_that_cannot_be_written_costs_the_speed_alone(
    llvmlite: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "kept").write_text("no folder")
    with pytest.raises(FileExistsError):
        keep.keep_code(CODE)
    monkeypatch.setattr(load, "_made", lambda: keep.keep_code(CODE))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    assert kernel_if_worth(1e6) is None


def test_one_process_has_its_share_of_the_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 4)
    assert chunks_ahead(1000, 1) == 1000
    assert chunks_ahead(1000, 3) == 1000
    assert chunks_ahead(1000, 40) == 10_000


def test_a_scan_asks_for_what_it_can_save(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    asked = []
    monkeypatch.setattr("analyzer.save.whole_sift.kernel_if_worth", asked.append)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    data = region({x: stored(chunk_tree(x, 0, last=True)) for x in range(10)})
    file = region_file(tmp_path, data)
    wanted = Wanted({"quayworks:shaft": ()})
    scan_region(file, wanted, Limits(), sources=1000)
    # Short chunks cost little, wherever their list stands.
    assert asked == []
    scan_region(file, Wanted({}, frozenset({"quayworks:keel"})), Limits(), sources=1000)
    assert asked == [pytest.approx(5000 * 3.4e-6)]
