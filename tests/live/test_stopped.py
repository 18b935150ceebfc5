"""Scans that are interrupted, or whose workers are killed: real processes, real signals."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import pytest

from tests.damage.bombs import iter_bombs
from tests.damage.damage import BESIDE, CATALOGUE

pytestmark = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="no /proc here")

_REGIONS: Final = 8
#: What makes a bomb's region take some tenths of a second instead.
_QUICKER: Final = ("--limit", "tags=400000")
#: Seconds after which something that should have ended long ago counts as hanging.
_LONG: Final = 60


@pytest.fixture(scope="module")
def slow(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A region folder of which nearly every region takes some seconds, since it has a bomb."""
    home = tmp_path_factory.mktemp("slow") / "region"
    home.mkdir()
    bomb = next(one for one in iter_bombs() if one.name == "bomb-of-tags")
    for number in range(_REGIONS):
        (home / f"r.{number}.0.mca").write_bytes(bomb.data)
    (home / "r.-1.0.mca").write_bytes(BESIDE)
    (home.parent / "slipway.toml").write_text(CATALOGUE, "utf-8")
    return home


@contextmanager
def running(home: Path, *options: str) -> Iterator[subprocess.Popen[str]]:
    """Give an audit on two processes, in a process group of its own, as a shell starts it."""
    command = [sys.executable, "-m", "analyzer.cli.main", "audit", str(home), "--jobs", "2"]
    command += ["--catalogue", str(home.parent / "slipway.toml"), "--no-config", "--no-cache"]
    with subprocess.Popen(
        [*command, *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        process_group=0,
    ) as process:
        try:
            yield process
        finally:
            process.kill()


def workers_of(process: subprocess.Popen[str]) -> list[int]:
    """Return the processes that an audit has started."""
    path = Path(f"/proc/{process.pid}/task")
    try:
        threads = list(path.iterdir())
        return [int(pid) for one in threads for pid in (one / "children").read_text().split()]
    except OSError:
        return []


def lives(pid: int) -> bool:
    """Return whether a process does anything any longer."""
    try:
        return "\nState:\tZ" not in Path(f"/proc/{pid}/status").read_text("utf-8")
    except OSError:
        return False


def wait_for(what: Callable[[], bool]) -> None:
    """Wait until something is so."""
    end = time.monotonic() + _LONG
    while not what():
        assert time.monotonic() < end
        time.sleep(0.01)


def is_busy(pid: int) -> bool:
    """Return whether a process has computed for longer than it takes to start."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text("utf-8").rpartition(")")[2].split()
    except OSError:
        return False
    return int(fields[11]) / os.sysconf("SC_CLK_TCK") > 0.2


@pytest.mark.parametrize("everyone", [False, True])
def test_an_interrupt_stops_all_at_once_and_says_how_far_it_came(
    slow: Path, *, everyone: bool
) -> None:
    with running(slow) as process:
        wait_for(lambda: any(map(is_busy, workers_of(process))))
        workers = workers_of(process)
        assert len(workers) == 2
        before = time.monotonic()
        if everyone:
            # As from the keyboard.
            os.killpg(process.pid, signal.SIGINT)
        else:
            process.send_signal(signal.SIGINT)
        out, err = process.communicate()
        assert time.monotonic() - before < 15
    assert (process.returncode, out) == (130, "")
    (line,) = err.splitlines()
    assert line.startswith("lineshaft: interrupted after ")
    assert f" of {_REGIONS + 1} regions, " in line
    assert line.endswith(" chunks")
    assert not any(map(lives, workers))


def test_an_interrupt_before_anything_is_read_takes_one_line(slow: Path) -> None:
    with running(slow) as process:
        wait_for(lambda: bool(workers_of(process)))
        os.killpg(process.pid, signal.SIGINT)
        _, err = process.communicate()
    assert process.returncode == 130
    assert len(err.splitlines()) == 1


def test_an_interrupted_report_is_not_there_at_all(slow: Path, tmp_path: Path) -> None:
    with running(slow, "--output", str(tmp_path / "report.txt")) as process:
        wait_for(lambda: any(map(is_busy, workers_of(process))))
        process.send_signal(signal.SIGINT)
        process.communicate()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_workers_end_by_themselves_where_the_first_process_is_killed(
    slow: Path, how: signal.Signals
) -> None:
    with running(slow) as process:
        wait_for(lambda: any(map(is_busy, workers_of(process))))
        workers = workers_of(process)
        process.send_signal(how)
        _, err = process.communicate()
    wait_for(lambda: not any(map(lives, workers)))
    assert (process.returncode, err) == (-how, "")


def audited(process: subprocess.Popen[str]) -> tuple[dict[str, Any], list[str]]:
    """Return the report of an audit that has ended, and what it said."""
    out, err = process.communicate()
    assert process.returncode == 3
    return json.loads(out), err.splitlines()


def test_a_region_whose_worker_is_killed_is_read_once_more(slow: Path) -> None:
    with running(slow, "--format", "json", *_QUICKER) as process:
        undisturbed, _ = audited(process)
    with running(slow, "--format", "json", *_QUICKER) as process:
        wait_for(lambda: any(map(is_busy, workers_of(process))))
        victim = next(pid for pid in workers_of(process) if is_busy(pid))
        os.kill(victim, signal.SIGKILL)
        report, said = audited(process)
    assert report == undisturbed
    (line,) = said
    assert line.endswith("it is read once more")


def test_regions_whose_workers_are_killed_each_time_are_listed_as_unread(slow: Path) -> None:
    with running(slow, "--format", "json", *_QUICKER) as process:
        killed = 0
        while process.poll() is None and killed < 100:
            victims = [pid for pid in workers_of(process) if is_busy(pid)]
            for victim in victims:
                os.kill(victim, signal.SIGKILL)
                killed += 1
            time.sleep(0.01)
        report, said = audited(process)
    died = {fault["file"] for fault in report["unread"] if fault["reason"] == "worker-died"}
    assert died
    left = [line.partition(": ")[0] for line in said if line.endswith("it is left unread")]
    assert sorted(left) == sorted(died)
    # All others are told as ever: each has its bomb, or none.
    files = {fault["file"] for fault in report["unread"]}
    assert files >= {f"r.{number}.0.mca" for number in range(_REGIONS)}
