"""Processes of our own: what they run, and what becomes of those that die."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import BrokenExecutor
from functools import partial
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.pipeline import child, processes
from analyzer.pipeline.child import Start, start_afresh, start_copy
from analyzer.pipeline.processes import CallFailedError, Processes
from analyzer.save.scan.scan_source import scan_source
from analyzer.save.scan.wanted import Wanted
from tests.pipeline.calls import die, die_once, double, fail, grow, interpreter_of
from tests.save.chunks import chunk_tree, entity, region, region_file, section, stored


@pytest.fixture(params=["afresh", "copied"])
def how(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Start:
    """How the processes of a test are started, whichever would be chosen here."""
    if request.param == "copied" and not hasattr(os, "fork"):
        pytest.skip("no process can be copied here")
    start = start_copy if request.param == "copied" else start_afresh
    monkeypatch.setattr(processes, "quickest_start", lambda: start)
    return start


@pytest.fixture
def afresh(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(processes, "quickest_start", lambda: start_afresh)


def either_way(test: Callable[..., None]) -> Callable[..., None]:
    """Run a test with processes that are started afresh, and with copies of this one."""
    # Libraries that earlier tests imported may have threads of their own, which hold nothing here.
    quiet = pytest.mark.filterwarnings("ignore:.*multi-threaded:DeprecationWarning")
    marked: Callable[..., None] = pytest.mark.usefixtures("how")(quiet(test))
    return marked


@either_way
def test_calls_are_answered_in_whatever_number() -> None:
    with Processes(2) as pool:
        futures = [pool.submit(double, number) for number in range(50)]
        assert [future.result() for future in futures] == list(range(0, 100, 2))


@either_way
def test_a_large_argument_and_a_large_answer_pass() -> None:
    with Processes(1) as pool:
        futures = [pool.submit(bytes, 3_000_000), pool.submit(len, bytes(3_000_000))]
        assert [len(futures[0].result()), futures[1].result()] == [3_000_000, 3_000_000]


@either_way
def test_what_a_call_raises_is_told_and_ends_nothing() -> None:
    with Processes(1) as pool:
        failed, after = pool.submit(fail, 3), pool.submit(double, 3)
        with pytest.raises(CallFailedError, match="ValueError: not 3"):
            failed.result()
        assert after.result() == 6


@either_way
@pytest.mark.parametrize("end", [die, grow])
def test_a_process_that_dies_takes_one_call_with_it(end: object) -> None:
    with Processes(1) as pool:
        futures = [pool.submit(double, 1), pool.submit(end, 1), pool.submit(double, 2)]  # type: ignore[arg-type]
        futures += [pool.submit(double, 3), pool.submit(end, 1), pool.submit(double, 4)]  # type: ignore[arg-type]
        told = [future.exception() or future.result() for future in futures]
    assert [told[0], told[2], told[3], told[5]] == [2, 4, 6, 8]
    assert isinstance(told[1], BrokenExecutor)
    assert isinstance(told[4], BrokenExecutor)


@either_way
def test_a_call_may_succeed_the_second_time(tmp_path: Path) -> None:
    with Processes(2) as pool:
        mark = str(tmp_path / "was here")
        with pytest.raises(BrokenExecutor):
            pool.submit(die_once, mark).result()
        assert pool.submit(die_once, mark).result() == 7


@pytest.mark.usefixtures("afresh")
def test_where_no_process_starts_threads_run_the_calls(monkeypatch: pytest.MonkeyPatch) -> None:
    for impossible in (sys.executable + "-that-is-not-there", "/bin/true"):
        monkeypatch.setattr(child.sys, "executable", impossible)
        with Processes(2) as pool:
            assert pool.submit(double, 4).result() == 8
            with pytest.raises(CallFailedError, match="not 5"):
                pool.submit(fail, 5).result()


@pytest.mark.usefixtures("afresh")
def test_processes_that_start_afresh_import_no_more_than_they_need() -> None:
    with Processes(1, ["analyzer.save.scan.scan_source"]) as pool:
        own, apart, loaded = pool.submit(interpreter_of, 0).result()
    assert own != os.getpid()
    assert apart
    assert loaded == []


def test_what_cannot_be_sent_is_told_and_ends_nothing() -> None:
    with Processes(1) as pool:
        failed, after = pool.submit(double, (one for one in ())), pool.submit(double, 3)
        assert "pickle" in str(failed.exception(timeout=60))
        assert after.result() == 6


@either_way
def test_cancelling_ends_the_processes_at_once() -> None:
    pool = Processes(2)
    futures = [pool.submit(time.sleep, 60) for _ in range(8)]
    started = time.monotonic()
    pool.shutdown(cancel_futures=True)
    assert time.monotonic() - started < 30
    assert all(future.cancelled() or future.exception() for future in futures)
    with pytest.raises(RuntimeError, match="shut down"):
        pool.submit(double, 1)


def test_one_argument_it_must_be() -> None:
    with Processes(1) as pool, pytest.raises(TypeError, match="one argument"):
        pool.submit(divmod, 7, 2)


@pytest.mark.parametrize("start", ["start_afresh", "start_copy"])
def test_nothing_is_left_running_where_the_caller_is_killed(start: str) -> None:
    script = (
        "import os; from analyzer.pipeline import child, processes\n"
        f"processes.quickest_start = lambda: child.{start}\n"
        "pool = processes.Processes(2)\n"
        "print(*{pool.submit(abs, -1).result() for _ in range(9)}, flush=True)\n"
        "print(*(one._process.pid for one in pool._workers), flush=True)\n"
        "os.kill(os.getpid(), 9)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False
    )
    answer, *pids = done.stdout.split()
    assert answer == "1"
    assert len(pids) == 2
    for _ in range(200):
        if not any(map(runs, pids)):
            break
        time.sleep(0.05)
    else:
        raise AssertionError("a process still runs")


def runs(pid: str) -> bool:
    try:
        return " Z " not in Path(f"/proc/{pid}/stat").read_text("utf-8")
    except OSError:
        return False


@pytest.mark.usefixtures("afresh")
def test_a_region_with_parts_is_read_without_numpy(tmp_path: Path) -> None:
    data = chunk_tree(
        0,
        0,
        entities=[entity("quayworks:shaft", 1, 0, 0)],
        sections=[section(0, ["minecraft:air", "quayworks:shaft[axis=x]"], {1: 1})],
    )
    file = region_file(tmp_path, region({0: stored(data)}))
    wanted = Wanted({"quayworks:shaft": ()}, entity_blocks=frozenset({"quayworks:shaft"}))
    with Processes(1, ["analyzer.save.scan.scan_source"]) as pool:
        record = pool.submit(partial(scan_source, wanted=wanted, limits=Limits()), file).result()
        *_, loaded = pool.submit(interpreter_of, 0).result()
    assert record.cells[:, :3].tolist() == [[1, 0, 0]]
    assert loaded == []
