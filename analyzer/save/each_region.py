"""Running one call a region, here or on an executor, with few of them in flight."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from typing import Generic, TypeVar

from analyzer.save.progress import OnProgress, Progress
from analyzer.save.save_files import RegionFile

Record = TypeVar("Record")


def read_each_region(
    regions: Sequence[RegionFile],
    call: Callable[[RegionFile], Record],
    *,
    chunks_of: Callable[[Record], int],
    executor: Executor | None,
    progress: OnProgress | None,
) -> list[Record]:
    """Call once a region and return the results in the order of the regions.

    Parameters
    ----------
    regions
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
    reading = _Reading(len(regions), chunks_of, progress)
    if executor is None:
        for number, region in enumerate(regions):
            reading.done(number, call(region))
    else:
        _submit_all(regions, call, executor, reading)
    return [reading.records[number] for number in range(len(regions))]


class _Reading(Generic[Record]):
    def __init__(
        self, regions: int, chunks_of: Callable[[Record], int], progress: OnProgress | None
    ) -> None:
        self.records: dict[int, Record] = {}
        self._regions = regions
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
            self._progress(Progress(len(self.records), self._regions, self._chunks))


def _submit_all(
    regions: Sequence[RegionFile],
    call: Callable[[RegionFile], Record],
    executor: Executor,
    reading: _Reading[Record],
) -> None:
    # Enough to keep every worker busy; few enough that results do not pile up unread.
    at_most = 4 * (os.cpu_count() or 1)
    running: dict[Future[Record], int] = {}
    waiting = iter(enumerate(regions))
    try:
        while True:
            for number, region in waiting:
                running[executor.submit(call, region)] = number
                if len(running) >= at_most:
                    break
            if not running:
                return
            for future in wait(running, return_when=FIRST_COMPLETED).done:
                reading.done(running.pop(future), future.result())
    finally:
        for future in running:
            future.cancel()
