"""Whether another program holds a save open.

From 1.16 on the running game holds a lock on ``session.lock``. The file stays behind afterwards and
what is in it says nothing, so only the lock itself counts; it is asked about, never taken.
"""

from __future__ import annotations

import os
import struct
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from analyzer.save.opening import open_for_reading

# struct flock of Linux with 64-bit offsets: type, whence, start, length, process; then padding.
_FLOCK: Final = struct.Struct("hhqqi4x")


def find_open_elsewhere(locks: Iterable[Path] | None) -> bool | None:
    """Return whether any of a save's lock files is locked by another process.

    Parameters
    ----------
    locks
        Where the lock files lie or would lie; None where that is not known.

    Returns
    -------
    bool or None
        False where there is no lock file; None where it cannot be told.
    """
    if locks is None:
        return None
    answers = [_is_locked(path) for path in locks if os.path.lexists(path)]
    if True in answers:
        return True
    return None if None in answers else False


def _is_locked(path: Path) -> bool | None:
    if sys.platform != "linux" or sys.maxsize < 2**32:
        # Other systems lay struct flock out differently, or have no such query.
        return None
    import fcntl

    question = _FLOCK.pack(fcntl.F_WRLCK, os.SEEK_SET, 0, 0, 0)
    try:
        with open_for_reading(path) as file:
            answer = fcntl.fcntl(file, fcntl.F_GETLK, question)
    except OSError:
        return None
    return bool(_FLOCK.unpack(answer)[0] != fcntl.F_UNLCK)
