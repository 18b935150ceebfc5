"""Whether a save is open elsewhere: asked of the system, with another process as the holder."""

from __future__ import annotations

import fcntl
import gzip
import io
import struct
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from analyzer.save.files import lock as save_lock
from analyzer.save.files.locate import locate_save
from analyzer.save.files.lock import find_open_elsewhere
from analyzer.save.scan.scan import Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.save.nbt_bytes import compound, integer, tree

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


def test_where_the_game_holds_no_lock_only_a_lock_tells(lock: Path, held: Path) -> None:
    other = lock.with_name("other.lock")
    other.touch()
    assert find_open_elsewhere([other], tells=False) is None
    assert find_open_elsewhere([other, held], tells=False) is True


@pytest.mark.parametrize(("version", "expected"), [(2230, None), (2526, False), (3955, False)])
def test_saves_of_before_1_16_do_not_tell(
    tmp_path: Path, version: int, expected: bool | None
) -> None:
    home = tmp_path / "save"
    (home / "region").mkdir(parents=True)
    (home / "session.lock").write_bytes(bytes(8))
    root = tree(compound(Data=compound(DataVersion=integer(version))))
    (home / "level.dat").write_bytes(gzip.compress(root))
    assert scan_save(locate_save(home), Wanted({})).facts.open_elsewhere is expected


def test_a_save_that_was_open_when_the_scan_began_is_open(held: Path) -> None:
    region = held.with_name("region")
    region.mkdir()
    held.with_name("level.dat").write_bytes(b"")
    files = locate_save(held.parent)
    held.unlink()
    assert scan_save(files, Wanted({})).facts.open_elsewhere is True


def test_a_lock_of_this_very_process_is_seen_and_outlives_the_question(lock: Path) -> None:
    with lock.open("r+b") as ours:
        fcntl.lockf(ours, fcntl.LOCK_EX)
        assert find_open_elsewhere([lock]) is True
        again = "import fcntl, sys; fcntl.lockf(open(sys.argv[1], 'r+'), fcntl.LOCK_EX | 4)"
        done = subprocess.run(
            [sys.executable, "-c", again, str(lock)], check=False, capture_output=True
        )
        assert b"BlockingIOError" in done.stderr
    assert find_open_elsewhere([lock]) is False


@pytest.mark.parametrize("answer", [2, 3])
def test_macos_is_asked_in_its_own_layout(
    lock: Path, monkeypatch: pytest.MonkeyPatch, answer: int
) -> None:
    def asked(_file: object, command: int, question: bytes) -> bytes:
        assert command == fcntl.F_GETLK
        assert struct.unpack("qqihh", question) == (0, 0, 0, 3, 0)
        return struct.pack("qqihh", 0, 0, 4711, answer, 0)

    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setattr(fcntl, "F_WRLCK", 3)
    monkeypatch.setattr(fcntl, "F_UNLCK", 2)
    monkeypatch.setattr(fcntl, "fcntl", asked)
    assert find_open_elsewhere([lock]) is (answer == 3)


@pytest.mark.parametrize(
    ("error", "expected"),
    [(None, False), (PermissionError(13, "denied"), True), (OSError(5, "broken"), None)],
)
def test_windows_refuses_to_read_what_is_locked(
    lock: Path, monkeypatch: pytest.MonkeyPatch, error: OSError | None, expected: bool | None
) -> None:
    class Refusing(io.BytesIO):
        def read(self, *_: object) -> bytes:
            if error is not None:
                raise error
            return b""

    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(save_lock, "open_for_reading", lambda _: Refusing())
    assert find_open_elsewhere([lock]) is expected


def test_a_system_that_cannot_be_asked_tells_nothing(
    lock: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "sunos5")
    assert find_open_elsewhere([lock]) is None
