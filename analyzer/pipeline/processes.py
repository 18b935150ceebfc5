"""Processes of our own that read regions, one of which may die without harm to the others."""

from __future__ import annotations

import pickle
from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import suppress
from dataclasses import dataclass, field
from queue import Empty, SimpleQueue
from threading import Thread
from typing import Any, Final

from analyzer.pipeline.child import Child, quickest_start, start_afresh

# Calls that a process is given before it has answered, so that it need not wait for the next.
_AHEAD: Final = 2
# Calls of no more bytes than this are given ahead: a pipe holds them on every system.
_SMALL_BYTES: Final = 2048


class CallFailedError(Exception):
    """A function raised in another process; the message is the traceback there."""


@dataclass
class _Task:
    function: Callable[[Any], Any]
    argument: Any
    future: Future[Any] = field(default_factory=Future)


class Processes(Executor):
    """Some processes that run functions of one argument; one that dies is started anew.

    Unlike the processes of the standard library they do not run the caller's script again, and the
    end of one ends nothing but the call that it was at: its future raises `BrokenExecutor`. Where
    no process can be started, the calls are run by threads.

    Parameters
    ----------
    count
        How many processes, at least 1. They start at once, and this does not wait for them.
    modules
        Names of modules that they import to begin with.
    """

    def __init__(self, count: int, modules: Sequence[str] = ()) -> None:
        self._tasks: SimpleQueue[_Task | None] = SimpleQueue()
        self._closed = False
        start = quickest_start()
        # All of them before the first thread: with threads this process cannot be copied.
        children = [start(modules) for _ in range(count)]
        self._workers = [_Worker(self._tasks, modules, child) for child in children]
        for worker in self._workers:
            worker.start()

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Have a function of one argument called; both must be picklable.

        Raises
        ------
        RuntimeError
            After `shutdown`.
        TypeError
            For anything else than one argument.
        """
        if self._closed:
            raise RuntimeError("these processes have been shut down")
        if len(args) != 1 or kwargs:
            raise TypeError("the function must be called with one argument")
        task = _Task(fn, args[0])
        self._tasks.put(task)
        return task.future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Let the processes end after what was submitted; end them at once if that is cancelled."""
        self._closed = True
        if cancel_futures:
            with suppress(Empty):
                while True:
                    task = self._tasks.get_nowait()
                    if task is not None:
                        task.future.cancel()
            for worker in self._workers:
                worker.kill()
        for _ in self._workers:
            self._tasks.put(None)
        if wait:
            for worker in self._workers:
                worker.join()


class _Worker(Thread):
    """One process, and the thread that talks to it."""

    def __init__(
        self, tasks: SimpleQueue[_Task | None], modules: Sequence[str], child: Child | None
    ) -> None:
        super().__init__(daemon=True)
        self._tasks = tasks
        self._modules = modules
        self._closing = self._killed = False
        # What the process has been given and has not answered, in that order.
        self._given: deque[_Task] = deque()
        self._held: _Task | None = None
        self._process = child
        # The function that the process knows, so that the next call need not send it again.
        self._known: Callable[[Any], Any] | None = None

    def kill(self) -> None:
        """End the process at once."""
        self._killed = self._closing = True
        process = self._process
        if process is not None:
            process.kill()

    def run(self) -> None:
        """Hand on calls and answers until there are no more."""
        self._greet()
        while self._fill():
            self._hear()
        self._end()

    def _fill(self) -> bool:
        """Give the process what it may have; return whether an answer is to come."""
        while len(self._given) < _AHEAD:
            task = self._next()
            if task is None:
                break
            try:
                message = self._message(task)
            except Exception as error:
                # It cannot be sent to any process.
                task.future.set_exception(error)
                continue
            if self._given and len(message) > _SMALL_BYTES:
                # It would have to be read by a process that may be waiting to be read from.
                self._held = task
                break
            self._given.append(task)
            self._send(task, message)
        return bool(self._given)

    def _next(self) -> _Task | None:
        """Take the next task; None if there is none, at least until the process has answered."""
        task, self._held = self._held, None
        if task is not None and self._killed:
            task.future.set_exception(BrokenExecutor("the call came to no process"))
            return None
        while task is None and not self._closing:
            try:
                task = self._tasks.get(block=not self._given)
            except Empty:
                break
            if task is None:
                self._closing = True
            elif not task.future.set_running_or_notify_cancel():
                task = None
        return task

    def _message(self, task: _Task) -> bytes:
        function = None if task.function is self._known else task.function
        return pickle.dumps((function, task.argument), pickle.HIGHEST_PROTOCOL)

    def _send(self, task: _Task, message: bytes) -> None:
        if self._process is None:
            return
        self._known = task.function
        # That it has died is noticed where its answer is read.
        with suppress(OSError):
            self._process.stdin.write(message)
            self._process.stdin.flush()

    def _hear(self) -> None:
        task = self._given[0]
        try:
            returned, value = self._answer() if self._process else _called(task)
        except (EOFError, OSError, pickle.UnpicklingError):
            self._given.popleft()
            self._end()
            lost = [task]
            if self._killed:
                lost += self._given
                self._given.clear()
            elif self._given or not self._closing:
                self._begin_again()
            for one in lost:
                one.future.set_exception(BrokenExecutor("the process that ran the call has ended"))
            return
        self._given.popleft()
        if returned:
            task.future.set_result(value)
        else:
            task.future.set_exception(CallFailedError(value))

    def _begin_again(self) -> None:
        self._process = start_afresh(self._modules)
        self._known = None
        self._greet()
        for task in self._given:
            self._send(task, self._message(task))

    def _greet(self) -> None:
        """Wait until the process is there; do without where it does not come."""
        try:
            self._answer()
        except (EOFError, OSError, pickle.UnpicklingError):
            self._end()

    def _answer(self) -> Any:
        if self._process is None:
            raise EOFError
        return pickle.load(self._process.stdout)

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is not None:
            for pipe in (process.stdin, process.stdout):
                with suppress(OSError):
                    pipe.close()
            process.wait()


def _called(task: _Task) -> tuple[bool, Any]:
    try:
        return True, task.function(task.argument)
    except Exception:
        import traceback

        return False, traceback.format_exc()
