"""Where a save's regions are read: on processes of our own unless the caller has something else."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import Final

#: Region files or templates that are read here, since starting processes may take longer: some
#: 60 ms where they are started afresh, against 6 ms a region that is sifted.
FEW_REGIONS: Final = 8

# What reads a region; imported by the processes before they are asked for anything.
_READS: Final = ("analyzer.save.scan.scan_source",)


@contextmanager
def workers_for(
    regions: int, given: Executor | None, jobs: int | None = None
) -> Iterator[Executor | None]:
    """Give what the regions of a save are to be read on.

    Parameters
    ----------
    regions
        How many region files or structure templates there are to read.
    given
        The caller's executor, left running afterwards; None: processes of our own, or none at all
        for a few regions.
    jobs
        How many processes of our own; None: one for each processor that may be used. With one
        alone, regions are read in this process.
    """
    count = min(processors() if jobs is None else jobs, regions)
    if given is not None or regions <= FEW_REGIONS or count <= 1:
        yield given
        return
    from analyzer.pipeline.processes import Processes

    pool = Processes(count, _READS)
    try:
        yield pool
    except BaseException:
        pool.shutdown(cancel_futures=True)
        raise
    pool.shutdown()


def processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
