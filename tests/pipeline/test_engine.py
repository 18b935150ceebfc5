"""Region files read on an engine that runs already: a dask scheduler with two workers."""

from __future__ import annotations

import sys
import warnings
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

import pytest

from analyzer.base.errors import UsageError
from analyzer.pipeline import engine as engines
from analyzer.pipeline.engine import engine
from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.pipeline.calls import Deadly
from tests.support.command import lineshaft
from tests.support.demo import demo_save


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    """Give a scheduler with two processes as workers, none of which is waited for once it dies."""
    with warnings.catch_warnings():
        # Of its own making, none of ours: sockets and loops that it leaves to be collected.
        warnings.simplefilter("ignore")
        dask = pytest.importorskip("dask")
        distributed = pytest.importorskip("distributed")
        settings = {
            "distributed.scheduler.allowed-failures": 0,
            "distributed.admin.log-format": "",
        }
        with (
            dask.config.set(settings),
            distributed.LocalCluster(
                n_workers=2,
                threads_per_worker=1,
                processes=True,
                dashboard_address=None,
                silence_logs=50,
            ) as cluster,
        ):
            yield cluster


def address(cluster: Any) -> str:
    return f"dask:{cluster.scheduler_address}"


@pytest.mark.parametrize("form", ["text", "json"])
def test_a_report_is_the_same_byte_for_byte(cluster: Any, form: str) -> None:
    given = (demo_save(), "--catalogue", "quayworks", "--no-cache", "--format", form)
    there = lineshaft("audit", *given, "--executor", address(cluster))
    assert there == lineshaft("audit", *given)
    assert there.status == 3


def test_many_saves_and_other_commands_are_read_there_too(cluster: Any) -> None:
    for given in (
        ("audit", demo_save(), demo_save(), "--catalogue", "quayworks", "--no-cache"),
        ("parts", demo_save(), "--catalogue", "quayworks", "--no-cache"),
        ("survey", demo_save(), "--list"),
        ("share-check", demo_save(), "--catalogue", "quayworks"),
    ):
        assert lineshaft(*given, "--executor", address(cluster)) == lineshaft(*given)


def test_workers_of_another_version_are_refused(
    cluster: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engines, "VERSION", "9.9")
    done = lineshaft("audit", demo_save(), "--executor", address(cluster))
    assert (done.status, done.out, done.err.count("\n")) == (2, "", 1)
    assert "this is version 9.9." in done.err


def test_workers_without_the_program_are_refused(
    cluster: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> None:
        raise ModuleNotFoundError

    monkeypatch.setattr(engines, "worker_version", missing)
    with pytest.raises(UsageError, match="lineshaft is missing"), engine(address(cluster)):
        pass


def test_a_region_that_ends_its_worker_twice_is_left_unread(cluster: Any) -> None:
    files = locate_save(demo_save())
    wanted = Wanted({"quayworks:line_shaft": ()})
    deadly = replace(files.regions[1], path=cast(Path, Deadly()))
    trapped = replace(files, regions=(files.regions[0], deadly, *files.regions[2:]))
    whole = scan_save(files, wanted)
    with engine(address(cluster)) as executor:
        scan = scan_save(trapped, wanted, executor=executor)
    (fault,) = [one for one in scan.coverage.faults if one.file == deadly.file]
    assert (fault.chunk, fault.reason) == (None, "worker-died")
    assert scan.coverage.regions[1].status == bytes([SlotStatus.UNREADABLE]) * 1024
    others = [one for one in whole.coverage.regions if one.file != deadly.file]
    assert [one for one in scan.coverage.regions if one.file != deadly.file] == others


@pytest.mark.parametrize("given", ["dask", "dask:", "ray:127.0.0.1:1", "127.0.0.1:8786", ""])
def test_an_engine_that_there_is_not_is_refused_in_one_line(given: str) -> None:
    done = lineshaft("audit", demo_save(), "--executor", given)
    assert (done.status, done.out) == (2, "")
    assert done.err == f"lineshaft: no executor {given!r}; name one as dask:ADDRESS.\n"


def test_an_address_of_no_kind_is_refused_in_one_line() -> None:
    pytest.importorskip("distributed")
    done = lineshaft("audit", demo_save(), "--executor", "dask:nonsense://x")
    assert (done.status, done.out) == (2, "")
    assert done.err == "lineshaft: executor dask:nonsense://x: no scheduler answers there.\n"


def test_where_the_extra_is_missing_it_is_named_in_one_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    done = lineshaft("audit", demo_save(), "--executor", "dask:127.0.0.1:1")
    assert (done.status, done.out, done.err.count("\n")) == (2, "", 1)
    assert "Install lineshaft[dask]." in done.err


def test_an_engine_and_processes_of_our_own_exclude_each_other() -> None:
    done = lineshaft("audit", demo_save(), "--executor", "dask:127.0.0.1:1", "--jobs", 2)
    assert (done.status, done.out) == (2, "")
    assert "--executor and --jobs exclude each other" in done.err
