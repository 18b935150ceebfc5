"""Whether a save is open elsewhere: asked of the system, with another process as the holder."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from analyzer.save.lock import find_open_elsewhere

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="the query is Linux's")

# Holds a lock over the whole file, as the game does, until its input ends.
HOLDER = """
import fcntl, sys
file = open(sys.argv[1], "r+b")
fcntl.lockf(file, fcntl.LOCK_EX)
print("held", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def lock(tmp_path: Path) -> Path:
    path = tmp_path / "session.lock"
    path.write_bytes("☃".encode())
    return path


@pytest.fixture
def held(lock: Path) -> Iterator[Path]:
    command = [sys.executable, "-c", HOLDER, str(lock)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        yield lock
        holder.communicate("")


def test_a_lock_held_by_another_process_is_seen(held: Path) -> None:
    assert find_open_elsewhere([held]) is True
    assert find_open_elsewhere([held.with_name("missing"), held]) is True


def test_the_file_alone_says_nothing(lock: Path) -> None:
    before = lock.stat().st_mtime_ns
    assert find_open_elsewhere([lock]) is False
    assert lock.stat().st_mtime_ns == before


def test_asking_takes_nothing(lock: Path) -> None:
    lock.chmod(0o444)
    assert find_open_elsewhere([lock]) is False
    again = "import fcntl, sys; fcntl.lockf(open(sys.argv[1], 'r'), fcntl.LOCK_SH | fcntl.LOCK_NB)"
    subprocess.run([sys.executable, "-c", again, str(lock)], check=True)


def test_without_a_lock_file_the_save_is_not_open(tmp_path: Path) -> None:
    assert find_open_elsewhere([tmp_path / "session.lock"]) is False


def test_without_knowing_where_the_lock_is_nothing_can_be_told() -> None:
    assert find_open_elsewhere(None) is None


def test_a_lock_that_cannot_be_opened_tells_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "session.lock"
    folder.mkdir()
    assert find_open_elsewhere([folder]) is None
