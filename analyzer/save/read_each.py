"""Running one call a region or template, here or on an executor, with few of them in flight."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from typing import Generic, TypeVar

from analyzer.save.progress import OnProgress, Progress
from analyzer.save.save_files import Source

Record = TypeVar("Record")


def read_each(
    sources: Sequence[Source],
    call: Callable[[Source], Record],
    *,
    chunks_of: Callable[[Record], int],
    executor: Executor | None,
    progress: OnProgress | None,
) -> list[Record]:
    """Call once a region or template and return the results in their order.

    Parameters
    ----------
    sources
        What to read; none gives an empty list.
    call
        Must be picklable where the executor has processes.
    chunks_of
        How many chunks a result speaks of, for the progress.
    executor
        Where the calls run; None runs them here, one after the other.
    progress
        Told how far the reading has come.
    """
    reading = _Reading(len(sources), chunks_of, progress)
    if executor is None:
        for number, source in enumerate(sources):
            reading.done(number, call(source))
    else:
        _submit_all(sources, call, executor, reading)
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
    sources: Sequence[Source],
    call: Callable[[Source], Record],
    executor: Executor,
    reading: _Reading[Record],
) -> None:
    # Enough to keep every worker busy; few enough that results do not pile up unread.
    at_most = 4 * (os.cpu_count() or 1)
    running: dict[Future[Record], int] = {}
    waiting = iter(enumerate(sources))
    try:
        while True:
            for number, source in waiting:
                running[executor.submit(call, source)] = number
                if len(running) >= at_most:
                    break
            if not running:
                return
            for future in wait(running, return_when=FIRST_COMPLETED).done:
                reading.done(running.pop(future), future.result())
    finally:
        for future in running:
            future.cancel()
