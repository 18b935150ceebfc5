"""Where a save's regions are read: on processes of our own unless the caller has something else."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context
from typing import Final

from analyzer.base.errors import LineshaftError

#: Region files or templates that are read here, since starting processes would take longer: about
#: 0.5 s against some 20 ms a region.
FEW_REGIONS: Final = 32


@contextmanager
def workers_for(regions: int, given: Executor | None) -> Iterator[Executor | None]:
    """Give what the regions of a save are to be read on.

    Parameters
    ----------
    regions
        How many region files or structure templates there are.
    given
        The caller's executor, left running afterwards; None: processes of our own, one a
        processor, or none at all for a few regions.

    Raises
    ------
    LineshaftError
        Where a process of our own could not start, or was ended from outside.
    """
    processors = os.cpu_count() or 1
    if given is not None or regions <= FEW_REGIONS or processors == 1:
        yield given
        return
    # A copy of this process might copy a lock that one of its threads holds (numpy has threads of
    # its own), so processes are started afresh on every system. An interrupt from the keyboard
    # reaches all of them; it is for the caller's alone to answer.
    pool = ProcessPoolExecutor(
        min(processors, regions),
        mp_context=get_context("spawn"),
        initializer=signal.signal,
        initargs=(signal.SIGINT, signal.SIG_IGN),
    )
    with pool:
        try:
            yield pool
        except BrokenProcessPool as error:
            raise LineshaftError(
                "a process that read regions could not start, or was ended from outside, perhaps "
                "for want of memory. Free some memory and run again; a script of your own must be "
                'guarded by if __name__ == "__main__", or pass an executor of threads.'
            ) from error
