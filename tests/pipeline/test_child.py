"""Copies of a process: when there may be one, and what it has of its origin."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

pytestmark = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="no /proc here")

_FILES: Final = """
def files(number):
    import os
    return sorted(map(int, os.listdir("/proc/self/fd")))
def lines(number):
    print(number)
    return number
"""


def told(script: str, *, closed: str = "") -> str:
    """Return what a script prints that runs by itself, with the functions above."""
    command = f"exec {closed} {sys.executable} -c '{_FILES}{script}'"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout.strip()


def test_a_process_with_one_thread_may_be_copied_and_one_with_two_may_not() -> None:
    script = (
        "import threading, time; from analyzer.pipeline import child\n"
        "alone = child.quickest_start() is child.start_copy\n"
        "threading.Thread(target=time.sleep, args=(60,), daemon=True).start()\n"
        "print(alone, child.quickest_start() is child.start_afresh)"
    )
    assert told(script) == "True True"


def test_the_system_may_not_tell_how_many_threads_there_are(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from analyzer.pipeline import child

    monkeypatch.setattr(child, "_THREADS", "/nowhere/task")
    assert child.quickest_start() is child.start_afresh


@pytest.mark.parametrize("closed", ["", "0<&-", "2>&-", "0<&- 2>&-"])
def test_a_copy_holds_no_file_of_its_origin(closed: str) -> None:
    # The last one is the folder that is being listed.
    script = (
        "import os; from analyzer.pipeline.processes import Processes\n"
        'kept = [os.open("/", os.O_RDONLY) for _ in range(20)]\n'
        "pool = Processes(3)\n"
        "found = [pool.submit(files, one).result() for one in range(9)]\n"
        "pool.shutdown()\n"
        "os.write(1, str(found == 9 * [[0, 1, 2, 3, 4]]).encode())"
    )
    assert told(script, closed=closed) == "True"


def test_what_was_not_written_yet_is_written_once() -> None:
    script = (
        "import os; from analyzer.pipeline.processes import Processes\n"
        "os.dup2(1, 2)\n"
        'print("before", end=" ")\n'
        "pool = Processes(2)\n"
        "numbers = [pool.submit(abs, one).result() for one in range(4)]\n"
        "pool.shutdown()\n"
        "print(numbers)"
    )
    assert told(script) == "before [0, 1, 2, 3]"


def test_a_copy_knows_the_functions_of_its_origin_and_prints_beside_the_answers() -> None:
    script = (
        "import os; from analyzer.pipeline.processes import Processes\n"
        "os.dup2(1, 2)\n"
        "with Processes(1) as pool:\n"
        "    print(pool.submit(lines, 7).result(), flush=True)"
    )
    assert told(script) == "7\n7"
