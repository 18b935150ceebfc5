"""Processes of our own: what they run, and what becomes of those that die."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from concurrent.futures import BrokenExecutor
from functools import partial
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.pipeline import processes
from analyzer.pipeline.processes import CallFailedError, Processes
from analyzer.save.scan_source import scan_source
from analyzer.save.wanted import Wanted
from tests.pipeline.calls import die, die_once, double, fail, grow, interpreter_of
from tests.save.chunks import chunk_tree, entity, region, region_file, section, stored


def test_calls_are_answered_in_whatever_number() -> None:
    with Processes(2) as pool:
        futures = [pool.submit(double, number) for number in range(50)]
        assert [future.result() for future in futures] == list(range(0, 100, 2))


def test_a_large_argument_and_a_large_answer_pass() -> None:
    with Processes(1) as pool:
        futures = [pool.submit(bytes, 3_000_000), pool.submit(len, bytes(3_000_000))]
        assert [len(futures[0].result()), futures[1].result()] == [3_000_000, 3_000_000]


def test_what_a_call_raises_is_told_and_ends_nothing() -> None:
    with Processes(1) as pool:
        failed, after = pool.submit(fail, 3), pool.submit(double, 3)
        with pytest.raises(CallFailedError, match="ValueError: not 3"):
            failed.result()
        assert after.result() == 6


@pytest.mark.parametrize("end", [die, grow])
def test_a_process_that_dies_takes_one_call_with_it(end: object) -> None:
    with Processes(1) as pool:
        futures = [pool.submit(double, 1), pool.submit(end, 1), pool.submit(double, 2)]  # type: ignore[arg-type]
        futures += [pool.submit(double, 3), pool.submit(end, 1), pool.submit(double, 4)]  # type: ignore[arg-type]
        told = [future.exception() or future.result() for future in futures]
    assert [told[0], told[2], told[3], told[5]] == [2, 4, 6, 8]
    assert isinstance(told[1], BrokenExecutor)
    assert isinstance(told[4], BrokenExecutor)


def test_a_call_may_succeed_the_second_time(tmp_path: Path) -> None:
    with Processes(2) as pool:
        mark = str(tmp_path / "was here")
        with pytest.raises(BrokenExecutor):
            pool.submit(die_once, mark).result()
        assert pool.submit(die_once, mark).result() == 7


def test_where_no_process_starts_threads_run_the_calls(monkeypatch: pytest.MonkeyPatch) -> None:
    for impossible in (sys.executable + "-that-is-not-there", "/bin/true"):
        monkeypatch.setattr(processes.sys, "executable", impossible)
        with Processes(2) as pool:
            assert pool.submit(double, 4).result() == 8
            with pytest.raises(CallFailedError, match="not 5"):
                pool.submit(fail, 5).result()


def test_processes_import_no_more_than_they_need() -> None:
    with Processes(1, ["analyzer.save.scan_source"]) as pool:
        own, apart, loaded = pool.submit(interpreter_of, 0).result()
    assert own != os.getpid()
    assert apart
    assert loaded == []


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


def test_nothing_is_left_running_where_the_caller_is_killed(tmp_path: Path) -> None:
    script = (
        "import os, time; from analyzer.pipeline.processes import Processes\n"
        "pool = Processes(1); print(pool.submit(abs, -1).result(), flush=True)\n"
        "print(pool._workers[0]._process.pid, flush=True); os.kill(os.getpid(), 9)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False
    )
    answer, pid = done.stdout.split()
    assert answer == "1"
    for _ in range(200):
        if not Path(f"/proc/{pid}").exists() or " Z " in Path(f"/proc/{pid}/stat").read_text():
            break
        time.sleep(0.05)
    else:
        raise AssertionError("the process still runs")


def test_a_region_with_parts_is_read_without_numpy(tmp_path: Path) -> None:
    data = chunk_tree(
        0,
        0,
        entities=[entity("quayworks:shaft", 1, 0, 0)],
        sections=[section(0, ["minecraft:air", "quayworks:shaft[axis=x]"], {1: 1})],
    )
    file = region_file(tmp_path, region({0: stored(data)}))
    wanted = Wanted({"quayworks:shaft": ()}, entity_blocks=frozenset({"quayworks:shaft"}))
    with Processes(1, ["analyzer.save.scan_source"]) as pool:
        record = pool.submit(partial(scan_source, wanted=wanted, limits=Limits()), file).result()
        *_, loaded = pool.submit(interpreter_of, 0).result()
    assert record.cells[:, :3].tolist() == [[1, 0, 0]]
    assert loaded == []
