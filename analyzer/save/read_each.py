"""Running one call a region or template, here or on an executor, with few of them in flight."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from typing import Generic, Protocol, TypeVar

from analyzer.save.progress import OnProgress, Progress


class HasFile(Protocol):
    """What one call reads."""

    @property
    def file(self) -> str:
        """Its path relative to the save."""


Record = TypeVar("Record")
Item = TypeVar("Item", bound=HasFile)


def read_each(
    sources: Sequence[Item],
    call: Callable[[Item], Record],
    *,
    unread: Callable[[Item], Record],
    chunks_of: Callable[[Record], int],
    executor: Executor | None,
    progress: OnProgress | None,
    meanwhile: Callable[[], None] | None = None,
) -> list[Record]:
    """Call once a region or template and return the results in their order.

    A call that ends the process it runs on is made once more.

    Parameters
    ----------
    sources
        What to read; none gives an empty list.
    call
        Must be picklable where the executor has processes.
    unread
        What to say of a source whose call ended the process a second time.
    chunks_of
        How many chunks a result speaks of, for the progress.
    executor
        Where the calls run; None runs them here, one after the other.
    progress
        Told how far the reading has come.
    meanwhile
        Called once when the executor is busy; not without one.
    """
    reading = _Reading(len(sources), chunks_of, progress)
    if executor is None:
        for number, source in enumerate(sources):
            reading.done(number, call(source))
    else:
        _submit_all(sources, call, executor, reading, unread=unread, meanwhile=meanwhile)
    return [reading.records[number] for number in range(len(sources))]


class _Reading(Generic[Record]):
    def __init__(
        self, sources: int, chunks_of: Callable[[Record], int], progress: OnProgress | None
    ) -> None:
        self.records: dict[int, Record] = {}
        self._sources = sources
        self._chunks_of = chunks_of
        self._progress = progress
        self._chunks = 0
        self._tell()

    def done(self, number: int, record: Record) -> None:
        self.records[number] = record
        self._chunks += self._chunks_of(record)
        self._tell()

    def _tell(self) -> None:
        if self._progress is not None:
            self._progress(Progress(len(self.records), self._sources, self._chunks))


def _submit_all(
    sources: Sequence[Item],
    call: Callable[[Item], Record],
    executor: Executor,
    reading: _Reading[Record],
    *,
    unread: Callable[[Item], Record],
    meanwhile: Callable[[], None] | None,
) -> None:
    # Enough to keep every worker busy for a while; few enough to be taken back soon.
    at_most = 16 * (os.cpu_count() or 1)
    running: dict[Future[Record], int] = {}
    again: set[int] = set()
    waiting = iter(enumerate(sources))
    try:
        while True:
            for number, source in waiting:
                future = _submitted(executor, call, source)
                if future is None:
                    reading.done(number, unread(source))
                    continue
                running[future] = number
                if len(running) >= at_most:
                    break
            if not running:
                return
            if meanwhile is not None:
                meanwhile()
                meanwhile = None
            for done in wait(running, return_when=FIRST_COMPLETED).done:
                number = running.pop(done)
                source = sources[number]
                try:
                    reading.done(number, done.result())
                except BrokenExecutor:
                    second = None if number in again else _submitted(executor, call, source)
                    _tell(source, last=second is None)
                    if second is None:
                        reading.done(number, unread(source))
                    else:
                        again.add(number)
                        running[second] = number
    finally:
        for future in running:
            future.cancel()


def _submitted(
    executor: Executor, call: Callable[[Item], Record], source: Item
) -> Future[Record] | None:
    """Submit a call; None where the executor has ended as a whole."""
    try:
        return executor.submit(call, source)
    except BrokenExecutor:
        return None


def _tell(source: HasFile, *, last: bool) -> None:
    import logging

    then = "it is left unread" if last else "it is read once more"
    logging.getLogger(__name__).warning(
        "the process that read %s has ended, perhaps for want of memory; %s", source.file, then
    )
