"""Running one call a region or template, here or on an executor, with few of them in flight."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from contextlib import closing
from dataclasses import dataclass, replace
from typing import Generic

from analyzer.save.reading.call import Call, HasFile, Raised, Record
from analyzer.save.reading.progress import OnProgress, Progress


class CallRaisedError(Exception):
    """A call raised where an executor ran it; the message is the traceback there."""


def read_each(
    calls: Sequence[Call[Record]],
    *,
    chunks_of: Callable[[Record], int],
    executor: Executor | None,
    progress: OnProgress | None,
    meanwhile: Callable[[], None] | None = None,
) -> list[Record]:
    """Run the calls and return the results in their order.

    Parameters
    ----------
    calls
        What to read; none gives an empty list.
    chunks_of
        How many chunks a result speaks of, for the progress.
    executor
        Where the calls run; None runs them here, one after the other.
    progress
        Told how far the reading has come.
    meanwhile
        Called once when the executor is busy; not without one.

    Raises
    ------
    CallRaisedError
        Where a call raised on an executor; without one what it raised is passed on.
    """
    records: dict[int, Record] = {}
    chunks = 0
    if progress is not None:
        progress(Progress(0, len(calls), 0))
    with closing(iter_read(calls, executor, meanwhile=meanwhile)) as reading:
        for number, record in reading:
            records[number] = record
            chunks += chunks_of(record)
            if progress is not None:
                progress(Progress(len(records), len(calls), chunks))
    return [records[number] for number in range(len(calls))]


def iter_read(
    calls: Iterable[Call[Record]],
    executor: Executor | None,
    *,
    meanwhile: Callable[[], None] | None = None,
) -> Generator[tuple[int, Record], None, None]:
    """Run calls and iterate over their numbers, from 0, and results, as these come.

    A call that ends the process it runs on, or that the executor fails to run for another reason,
    is made once more, alone: what was lost beside another is not lost with it again. Closing it
    takes back the calls that have not begun.

    Parameters
    ----------
    calls
        Taken as they are needed, not long before they run.
    executor, meanwhile
        As for `read_each`.

    Raises
    ------
    CallRaisedError
        As for `read_each`.
    """
    if executor is not None:
        submission: _Submission[Record] = _Submission(executor, meanwhile)
        yield from submission.iter_results(calls)
        return
    for number, call in enumerate(calls):
        yield number, call.function(call.item)


@dataclass(frozen=True)
class _Running(Generic[Record]):
    number: int
    call: Call[Record]
    again: bool = False


class _Submission(Generic[Record]):
    def __init__(self, executor: Executor, meanwhile: Callable[[], None] | None) -> None:
        self._executor = executor
        self._meanwhile = meanwhile
        # Enough to keep every worker busy for a while; few enough to be taken back soon.
        self._at_most = 16 * max(os.cpu_count() or 1, getattr(executor, "workers", 0))
        self._running: dict[Future[Record | Raised], _Running[Record]] = {}
        self._again: deque[_Running[Record]] = deque()

    def iter_results(self, calls: Iterable[Call[Record]]) -> Iterator[tuple[int, Record]]:
        waiting = enumerate(calls)
        try:
            while True:
                # Until those that are made once more have been, no others begin.
                for running in self._iter_alone() if self._again else self._iter_next(waiting):
                    if not self._submit(running):
                        yield running.number, running.call.unread(running.call.item)
                if not (self._running or self._again):
                    return
                if self._meanwhile is not None:
                    self._meanwhile()
                    self._meanwhile = None
                for done in wait(self._running, return_when=FIRST_COMPLETED).done:
                    yield from self._iter_result(done)
        finally:
            for future in self._running:
                future.cancel()

    def _iter_next(self, waiting: Iterator[tuple[int, Call[Record]]]) -> Iterator[_Running[Record]]:
        while len(self._running) < self._at_most:
            one = next(waiting, None)
            if one is None:
                return
            yield _Running(*one)

    def _iter_alone(self) -> Iterator[_Running[Record]]:
        if not self._running:
            yield self._again.popleft()

    def _submit(self, running: _Running[Record]) -> bool:
        """Have a call run; False where the executor has ended as a whole."""
        try:
            future = self._executor.submit(running.call.told, running.call.item)
        except Exception:
            return False
        self._running[future] = running
        return True

    def _iter_result(self, done: Future[Record | Raised]) -> Iterator[tuple[int, Record]]:
        running = self._running.pop(done)
        call = running.call
        try:
            result = done.result()
        except Exception as error:
            # Whatever it is, the call itself did not raise it: it would have told.
            _tell(call.item, error, last=running.again)
            if not running.again:
                self._again.append(replace(running, again=True))
                return
            result = call.unread(call.item)
        if isinstance(result, Raised):
            raise CallRaisedError(result.traceback)
        yield running.number, result


def _tell(item: HasFile, error: Exception, *, last: bool) -> None:
    import logging

    why = (
        "the process that read it has ended, perhaps for want of memory"
        if isinstance(error, BrokenExecutor | MemoryError)
        else f"{type(error).__name__} where it was read"
    )
    then = "it is left unread" if last else "it is read once more"
    logging.getLogger(__name__).warning("%s: %s; %s", item.file, why, then)
