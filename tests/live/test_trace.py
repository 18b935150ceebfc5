"""Read-only in fact: every system call that names something in the save, under strace."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from analyzer.demo.build import build_demo

STRACE: Final = shutil.which("strace")
if STRACE is None:
    pytest.skip("strace is not installed (Debian: apt-get install strace)", allow_module_level=True)

# Whatever names a file or acts on an open one, but for reading: what may not be asked of a save.
_FORBIDDEN: Final = re.compile(
    r"^(creat|mkdir|mknod|rmdir|unlink|rename|link|symlink|chmod|fchmod|chown|lchown|fchown|utime"
    r"|futimesat|truncate|ftruncate|fallocate|setxattr|lsetxattr|fsetxattr|removexattr|lremovexattr"
    r"|fremovexattr|write|writev|pwrite|sendfile|copy_file_range|splice|flock|mount|umount|swapon"
    r"|name_to_handle_at|open_by_handle_at|io_uring|acct|chroot|quotactl|fanotify|inotify_add_watch)"
)
_LOCKS: Final = re.compile(r"\bF_(OFD_)?SETLKW?(64)?\b|\bF_SETLEASE\b")
_WRITES: Final = re.compile(r"\bO_(WRONLY|RDWR|CREAT|TRUNC|APPEND|TMPFILE)\b")
_SHARED: Final = re.compile(r"PROT_WRITE.*MAP_SHARED")

# What names, opens or changes files; `desc` is all that is done by way of descriptors.
_TRACED: Final = "trace=file,desc"

_COMMANDS: Final = (
    ("audit", "SAVE", "--catalogue", "quayworks"),
    ("audit", "SAVE", "--catalogue", "quayworks", "--every-byte", "--format", "json"),
    ("audit", "SAVE", "--catalogue", "quayworks", "--output", "OUT"),
    ("survey", "SAVE"),
    ("explain", "SAVE", "-28", "64", "-10", "--catalogue", "quayworks"),
    ("draw", "SAVE", "--network", "-28,64,-10", "--catalogue", "quayworks", "--output", "OUT"),
    ("advise", "SAVE", "--catalogue", "quayworks"),
    ("networks", "SAVE", "--catalogue", "quayworks"),
    ("parts", "SAVE", "--catalogue", "quayworks"),
    ("share-check", "SAVE", "--catalogue", "quayworks"),
)


@pytest.fixture(scope="module")
def save(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo's save, with as many further regions as it takes to start workers."""
    home = tmp_path_factory.mktemp("trace") / "sluice"
    build_demo(home)
    region = home / "region"
    some = next(region.glob("r.*.mca"))
    for number in range(40, 52):
        shutil.copy(some, region / f"r.{number}.0.mca")
    (home / "session.lock").write_bytes(b"\xe2\x98\x83")
    return home


def standing(folder: Path) -> dict[str, tuple[object, ...]]:
    """Return all that is said of everything in a folder, but for access times."""
    told = {}
    for path in [folder, *sorted(folder.rglob("*"))]:
        of = path.lstat()
        content = path.read_bytes() if path.is_file() else b""
        told[str(path)] = (of.st_mode, of.st_size, of.st_mtime_ns, of.st_ctime_ns, content)
    return told


@pytest.mark.parametrize("command", _COMMANDS, ids=lambda command: "-".join(command[:1]))
def test_no_system_call_does_more_to_a_save_than_read_it(
    save: Path, tmp_path: Path, command: tuple[str, ...]
) -> None:
    before = standing(save)
    calls = list(iter_calls(traced(save, tmp_path, command)))
    inside = [call for call in calls if str(save) in call]
    opened = [call for call in inside if call.startswith(("open(", "openat(", "openat2("))]
    assert sum(".mca" in call for call in opened) >= 12
    assert [call for call in opened if _WRITES.search(call)] == []
    assert [call for call in inside if _FORBIDDEN.match(call)] == []
    assert [call for call in inside if _LOCKS.search(call)] == []
    assert [call for call in inside if _SHARED.search(call)] == []
    assert standing(save) == before


def traced(save: Path, folder: Path, command: tuple[str, ...]) -> Path:
    """Run a command with two workers and return where each of its processes was traced."""
    places = {"SAVE": str(save), "OUT": str(folder / "out.svg")}
    arguments = [places.get(argument, argument) for argument in command]
    traces = folder / "traces"
    traces.mkdir()
    assert STRACE is not None
    # -y writes the path behind every descriptor; -s 0 leaves out what is read and written.
    run = [STRACE, "-ff", "-qq", "-y", "-s", "0", "-e", _TRACED, "-o", str(traces / "trace")]
    run += [sys.executable, "-m", "analyzer.cli.main", *arguments, "--jobs", "2"]
    done = subprocess.run(run, capture_output=True, text=True, check=False)
    if "Operation not permitted" in done.stderr and not list(traces.iterdir()):
        pytest.skip("processes may not be traced here")
    assert done.returncode in (0, 1, 3), done.stderr
    # The command itself, its threads and its two workers.
    assert len(list(traces.iterdir())) >= 3
    return traces


def iter_calls(traces: Path) -> Iterator[str]:
    """Iterate over the calls of all processes that did not fail."""
    for trace in sorted(traces.iterdir()):
        for line in trace.read_text("utf-8", "surrogateescape").splitlines():
            if " = -1 " not in line:
                yield line


def test_the_trace_would_show_a_file_that_is_written(tmp_path: Path) -> None:
    home = tmp_path / "sluice"
    home.mkdir()
    lock = home / "session.lock"
    lock.write_bytes(b"")
    script = (
        "import fcntl, os, sys; fd = os.open(sys.argv[1], os.O_RDWR)\n"
        "os.write(fd, b'x'); fcntl.lockf(fd, fcntl.LOCK_EX); os.utime(sys.argv[1])\n"
        "os.ftruncate(fd, 0); os.rename(sys.argv[1], sys.argv[1] + '2')"
    )
    trace = tmp_path / "trace"
    assert STRACE is not None
    run = [STRACE, "-qq", "-y", "-s", "0", "-e", _TRACED, "-o", str(trace)]
    done = subprocess.run([*run, sys.executable, "-c", script, str(lock)], check=False)
    if done.returncode and not trace.exists():
        pytest.skip("processes may not be traced here")
    inside = [call for call in trace.read_text().splitlines() if os.fspath(home) in call]
    assert any(_WRITES.search(call) for call in inside)
    assert any(_LOCKS.search(call) for call in inside)
    for name in ("write", "utime", "ftruncate", "rename"):
        assert any(_FORBIDDEN.match(call) and name in call for call in inside)
