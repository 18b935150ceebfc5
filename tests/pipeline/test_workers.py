"""Where a save's regions are read."""

from __future__ import annotations

import logging
import os
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any, cast

import pytest

from analyzer.pipeline import workers
from analyzer.pipeline.processes import Processes
from analyzer.pipeline.survey import survey_save
from analyzer.pipeline.workers import FEW_REGIONS, workers_for
from analyzer.save.files.locate import locate_save
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.reading.read_each import CallRaisedError
from analyzer.save.scan import scan_source
from analyzer.save.scan.scan import Scan, SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.pipeline.calls import Trap
from tests.support.command import lineshaft
from tests.support.demo import demo_save

WANTED = Wanted({"quayworks:line_shaft": ()})


def demo_files() -> SaveFiles:
    return locate_save(demo_save())


def same(one: Scan, other: Scan) -> bool:
    return seen(one) == seen(other)


def seen(scan: Scan) -> tuple[object, ...]:
    coverage = scan.coverage
    return coverage.regions, coverage.faults, scan.leftovers, scan.candidates.xyz.tolist()


def test_more_than_a_few_regions_are_read_on_processes_of_our_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    here = survey_save(demo_save())
    monkeypatch.setattr(workers, "FEW_REGIONS", 0)
    for jobs in (1, 2, 3, None):
        there = survey_save(demo_save(), jobs=jobs)
        assert (there.rows, there.states, there.fields) == (here.rows, here.states, here.fields)


def test_one_job_needs_no_further_process() -> None:
    with workers_for(FEW_REGIONS + 1, None, jobs=1) as given:
        assert given is None
    with workers_for(FEW_REGIONS + 1, None, jobs=2) as given:
        assert isinstance(given, Processes)


def test_one_processor_alone_needs_no_further_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "processors", lambda: 1)
    with workers_for(FEW_REGIONS + 1, None) as given:
        assert given is None


def test_an_error_ends_the_processes_and_is_passed_on() -> None:
    pools = []

    def failing() -> None:
        with workers_for(FEW_REGIONS + 1, None, jobs=2) as pool:
            assert pool is not None
            pools.append(pool)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        failing()
    with pytest.raises(RuntimeError, match="shut down"):
        pools[0].submit(abs, 1)


def test_a_region_whose_reading_ends_a_process_twice_is_left_unread(
    caplog: pytest.LogCaptureFixture,
) -> None:
    files = demo_files()
    whole = scan_save(files, WANTED)
    deadly = replace(files.regions[1], path=cast(Path, Trap()))
    trapped = replace(files, regions=(files.regions[0], deadly, *files.regions[2:]))
    with caplog.at_level(logging.WARNING), Processes(2) as pool:
        scan = scan_save(trapped, WANTED, executor=pool)
        inventory = take_inventory(trapped, executor=pool)
    for coverage in (scan.coverage, inventory.coverage):
        (fault,) = [one for one in coverage.faults if one.file == deadly.file]
        assert (fault.chunk, fault.reason) == (None, "worker-died")
        assert coverage.regions[1].status == bytes([SlotStatus.UNREADABLE]) * 1024
        others = [region for region in coverage.regions if region.file != deadly.file]
        assert len(others) == len(files.regions) - 1
    assert others[0].status != bytes(1024)
    assert [r for r in whole.coverage.regions if r.file != deadly.file] == [
        region for region in scan.coverage.regions if region.file != deadly.file
    ]
    said = [record.getMessage() for record in caplog.records]
    assert [message.rpartition("; ")[2] for message in said] == [
        "it is read once more",
        "it is left unread",
    ] * 2
    assert all(deadly.file in message for message in said)


class Losing(Executor):
    """An executor that loses some calls, or has ended as a whole."""

    def __init__(
        self, losses: int, *, takes: int = 1000, error: type[Exception] = BrokenExecutor
    ) -> None:
        self.losses = losses
        self.takes = takes
        self.error = error

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        if self.takes == 0:
            raise self.error
        self.takes -= 1
        future: Future[Any] = Future()
        if self.losses:
            self.losses -= 1
            future.set_exception(self.error())
        else:
            future.set_result(fn(*args, **kwargs))
        return future


class EngineError(Exception):
    """What some engine says of a worker that is gone."""


class Beside(Executor):
    """An engine that loses with a deadly call all others that it has in hand."""

    def __init__(self, deadly: str) -> None:
        self.deadly = deadly
        self.given: list[tuple[Future[Any], Any, Any]] = []
        self.deaths = 0

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self.given.append((future, fn, args[0]))
        if args[0].file == self.deadly or self.deaths:
            self._run()
        return future

    def _run(self) -> None:
        given, self.given = self.given, []
        if self.deadly in [item.file for _, _, item in given]:
            self.deaths += 1
            for future, _, _ in given:
                future.set_exception(EngineError())
        else:
            for future, fn, item in given:
                future.set_result(fn(item))


def test_what_is_lost_beside_another_is_not_lost_with_it_again() -> None:
    files = demo_files()
    deadly = files.regions[-1].file
    engine = Beside(deadly)
    scan = scan_save(files, WANTED, executor=engine)
    died = [fault.file for fault in scan.coverage.faults if fault.reason == "worker-died"]
    assert died == [deadly]
    assert engine.deaths == 2


ERRORS = pytest.mark.parametrize("error", [BrokenExecutor, EngineError, MemoryError])


@ERRORS
def test_a_region_that_is_read_the_second_time_makes_no_difference(error: type[Exception]) -> None:
    files = demo_files()
    scan = scan_save(files, WANTED, executor=Losing(1, error=error))
    assert same(scan, scan_save(files, WANTED))


@ERRORS
def test_regions_that_an_executor_loses_twice_are_left_unread(error: type[Exception]) -> None:
    files = demo_files()
    scan = scan_save(files, WANTED, executor=Losing(2 * len(files.regions), error=error))
    died = [fault.file for fault in scan.coverage.faults if fault.reason == "worker-died"]
    assert sorted(died) == sorted(region.file for region in files.regions)


@ERRORS
@pytest.mark.parametrize("takes", [0, 1, 3])
def test_what_an_executor_that_ended_did_not_read_is_left_unread(
    takes: int, error: type[Exception]
) -> None:
    files = demo_files()
    scan = scan_save(files, WANTED, executor=Losing(0, takes=takes, error=error))
    died = [fault for fault in scan.coverage.faults if fault.reason == "worker-died"]
    assert len(died) == max(len(files.regions) - takes, 0)


def test_a_fault_of_the_program_is_not_taken_for_a_lost_worker(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def faulty(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(scan_source, "scan_source", faulty)
    with pytest.raises(ZeroDivisionError):
        scan_save(demo_files(), WANTED)
    with pytest.raises(CallRaisedError, match="ZeroDivisionError"):
        scan_save(demo_files(), WANTED, executor=Losing(0))


def test_the_standard_librarys_processes_may_die_too() -> None:
    files = demo_files()
    deadly = replace(files.regions[0], path=cast(Path, Trap()))
    trapped = replace(files, regions=(deadly, *files.regions[1:]))
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        scan = scan_save(trapped, WANTED, executor=pool)
    assert "worker-died" in {fault.reason for fault in scan.coverage.faults}


def test_the_number_of_jobs_makes_no_difference_to_a_report(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(workers, "FEW_REGIONS", 0)
    for command in (["audit", "--format", "json"], ["parts"], ["networks"], ["survey", "--list"]):
        catalogue = [] if command[0] == "survey" else ["--catalogue", "quayworks"]
        own = [] if command[0] == "survey" else ["--no-cache"]
        alone, two = (
            lineshaft(command[0], demo_save(), *command[1:], *catalogue, *own, "--jobs", jobs)
            for jobs in ("1", "2")
        )
        assert alone == two
        assert alone.out


@pytest.mark.parametrize("jobs", ["0", "-1", "many"])
def test_jobs_are_at_least_one(jobs: str) -> None:
    done = lineshaft("audit", demo_save(), "--jobs", jobs)
    assert done.status == 2
    assert "--jobs" in done.err


def test_as_many_jobs_as_processors_that_may_be_used() -> None:
    usable = getattr(os, "sched_getaffinity", None)
    expected = os.cpu_count() if usable is None else len(usable(0))
    assert workers.processors() == expected
