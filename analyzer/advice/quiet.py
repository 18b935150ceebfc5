"""Integer programs solved without a word on standard output."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


def quiet_milp(*program: Any, **options: Any) -> Any:
    """Call `scipy.optimize.milp`; what the solver prints by itself is dropped.

    HiGHS (as of scipy 1.17) says now and then that it solved a part again, even when told to be
    silent, and straight to the process's standard output: a report that goes there would be spoilt.
    """
    from scipy.optimize import milp

    with _silence():
        return milp(*program, **options)


@contextmanager
def _silence() -> Iterator[None]:
    """Point the process's standard output at nothing."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError, AttributeError):
        # There is no standard output that could be spoilt.
        yield
        return
    try:
        with open(os.devnull, "wb") as nothing:  # noqa: PTH123 (a device)
            os.dup2(nothing.fileno(), 1)
        yield
    finally:
        _flush()
        os.dup2(kept, 1)
        os.close(kept)


def _flush() -> None:
    """Let go what the C library holds back for standard output."""
    try:
        ctypes.CDLL(None).fflush(None)
    except (OSError, TypeError, AttributeError):
        # Where the C library is not at hand, it is not asked.
        return
