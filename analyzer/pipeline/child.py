"""Processes that answer calls, as whoever talks to them sees them: started afresh, or copied.

A copy of this process has imported what this one has, so that it is there in two milliseconds
instead of sixty. But a copy has one thread alone, and a lock that another thread held would stay
held in it for ever. So this process is copied only while it has no thread but one.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from importlib import import_module
from threading import Lock
from typing import BinaryIO, Final, Protocol, TypeAlias, cast

from analyzer.pipeline.serve import serve

# One entry for each thread of this process, those that libraries start of their own included.
_THREADS: Final = "/proc/self/task"
_FILES: Final = "/proc/self/fd"

# Numbers of a copy's open files: the first three are standard.
_CALLS: Final = 0
_ANSWERS: Final = 3

# Neither the caller's script nor its environment is looked at again, only where modules lie.
_START: Final = (
    "import sys; sys.path[:] = {path!r}; "
    "from analyzer.pipeline.serve import serve_pipes; serve_pipes({modules!r})"
)


class Child(Protocol):
    """A process that was started to answer calls."""

    @property
    def pid(self) -> int:
        """Its number."""

    @property
    def stdin(self) -> BinaryIO:
        """Where calls are written."""

    @property
    def stdout(self) -> BinaryIO:
        """Where answers are read."""

    def kill(self) -> None:
        """End it at once; one that has ended is no fault."""

    def wait(self) -> int:
        """Wait until it has ended."""


#: Starts a process that imports some modules; None where no process can be started.
Start: TypeAlias = Callable[[Sequence[str]], Child | None]


def quickest_start() -> Start:
    """Return how a process is started now: as a copy of this one where that is safe."""
    return start_copy if may_copy() else start_afresh


def may_copy() -> bool:
    """Return whether this process has one thread alone, on a system that tells (Linux)."""
    try:
        return len(os.listdir(_THREADS)) == 1  # noqa: PTH208 - pathlib is slower
    except OSError:
        return False


def start_afresh(modules: Sequence[str]) -> Child | None:
    """Start an interpreter of its own, which takes 60 ms; this does not wait for it."""
    # A copy does without it, and it takes 5 ms to be imported.
    import subprocess

    path = [os.path.abspath(folder) for folder in sys.path]  # noqa: PTH100 - pathlib is slower
    try:
        with _deaf_to_interrupts():
            process = subprocess.Popen(
                [
                    sys.executable,
                    *("-I", "-S", "-X", f"utf8={sys.flags.utf8_mode}"),
                    *("-c", _START.format(path=path, modules=tuple(modules))),
                ],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
            )
    except OSError:
        return None
    return cast(Child, process)


def start_copy(modules: Sequence[str]) -> Child | None:
    """Copy this process, which must have one thread alone, after importing the modules here."""
    for module in modules:
        import_module(module)
    for stream in filter(None, (sys.stdout, sys.stderr)):
        # What is not written yet would be the copy's to write, too.
        with suppress(OSError, ValueError):
            stream.flush()
    pipes: list[int] = []
    try:
        for _ in range(2):
            pipes += os.pipe()
        with _deaf_to_interrupts():
            pid = os.fork()
            if pid == 0:
                _be_copy(pipes[0], pipes[3])
    except OSError:
        for pipe in pipes:
            os.close(pipe)
        return None
    os.close(pipes[0])
    os.close(pipes[3])
    return _Copy(pid, os.fdopen(pipes[1], "wb"), os.fdopen(pipes[2], "rb"))


def _be_copy(calls: int, answers: int) -> None:
    """Answer calls until none come any longer, and end without anything else."""
    try:
        # What there is stays, and a search for garbage need not look at it.
        gc.freeze()
        # Whichever numbers the pipes have, they become 0 and 3; what else is open is not for this.
        spare = max(calls, answers, _ANSWERS) + 1
        os.dup2(answers, spare)
        os.dup2(calls, _CALLS)
        os.dup2(spare, _ANSWERS)
        if sys.__stderr__ is None:
            # Then whatever has its number is not for messages.
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        for number in map(int, os.listdir(_FILES)):  # noqa: PTH208 - pathlib is slower
            if number > _ANSWERS:
                with suppress(OSError):
                    os.close(number)
        # Whatever they were, what they wrote to may be closed now.
        sys.stdout = sys.stderr = os.fdopen(2, "w", 1, errors="backslashreplace", closefd=False)
        serve(os.fdopen(_CALLS, "rb"), os.fdopen(_ANSWERS, "wb"))
    finally:
        os._exit(1)


class _Copy:
    """A copy of this process, with what `subprocess.Popen` has of a process."""

    def __init__(self, pid: int, stdin: BinaryIO, stdout: BinaryIO) -> None:
        self.pid, self.stdin, self.stdout = pid, stdin, stdout
        # Once it has been waited for, another process may have its number.
        self._lock = Lock()
        self._runs = True

    def kill(self) -> None:
        with self._lock:
            if self._runs:
                os.kill(self.pid, signal.SIGKILL)

    def wait(self) -> int:
        os.waitid(os.P_PID, self.pid, os.WEXITED | os.WNOWAIT)
        with self._lock:
            self._runs = False
            return os.waitpid(self.pid, 0)[1]


@contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    """Start processes that no interrupt reaches, not even before they can say so themselves.

    What a thread blocks, the processes that it starts do not hear (POSIX, exec and fork).
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
