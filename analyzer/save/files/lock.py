"""Whether another program holds a save open.

From 1.16 on the running game holds a lock on ``session.lock``. The file stays behind afterwards and
what is in it says nothing, so only the lock itself counts; it is asked about, never taken.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path
from struct import Struct
from typing import Final, NamedTuple

from analyzer.save.files.opening import open_for_reading

#: First data version (20w16a, of 1.16) of which it is known that the game held a lock.
FIRST_LOCKING: Final = 2526


class _Flock(NamedTuple):
    """How a system lays out struct flock, and which of its fields is the type of the lock."""

    layout: Struct
    type: int

    def question(self, exclusive: int) -> bytes:
        """Return a question about an exclusive lock of the whole file."""
        fields = [0] * 5
        fields[self.type] = exclusive
        return self.layout.pack(*fields)


# Linux with 64-bit offsets: type, whence, start, length, process. macOS: start, length, process,
# type, whence (its sys/fcntl.h, from memory). `whence` 0 is from the start, length 0 up to the end.
_FLOCKS: Final = {"linux": _Flock(Struct("hhqqi4x"), 0), "darwin": _Flock(Struct("qqihh"), 3)}

# What Windows says of reading bytes that another process has locked (ERROR_LOCK_VIOLATION), and of
# opening a file that another has opened for itself alone (ERROR_SHARING_VIOLATION).
_WINDOWS_HELD: Final = (33, 32)


def find_open_elsewhere(locks: Iterable[Path] | None, *, tells: bool = True) -> bool | None:
    """Return whether any of a save's lock files is locked by a program.

    Parameters
    ----------
    locks
        Where the lock files lie or would lie; None where that is not known.
    tells
        Whether the game that saved it holds a lock while it runs.

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
    return None if None in answers or not tells else False


def _is_locked(path: Path) -> bool | None:
    if sys.platform == "win32":
        return _refuses(path)
    flock = _FLOCKS.get(sys.platform)
    if flock is None or sys.maxsize < 2**32:
        # Other systems lay struct flock out differently.
        return None
    if _is_ours(path):
        # Closing the file would end the lock that another part of this process holds.
        return True
    import fcntl

    try:
        with open_for_reading(path) as file:
            answer = fcntl.fcntl(file, fcntl.F_GETLK, flock.question(fcntl.F_WRLCK))
    except OSError:
        return None
    return bool(flock.layout.unpack(answer)[flock.type] != fcntl.F_UNLCK)


def _is_ours(path: Path) -> bool:
    """Return whether this process itself has locked a file, as far as the system lists that."""
    try:
        inode = path.stat().st_ino
        # number: POSIX ADVISORY WRITE process device:device:inode start end (proc_locks(5))
        lines = Path("/proc/locks").read_text("ascii").splitlines()
    except (OSError, ValueError):
        return False
    held = (line.split() for line in lines)
    return any(
        len(fields) > 5
        and fields[1] == "POSIX"
        and fields[4] == str(os.getpid())
        and fields[5].rpartition(":")[2] == str(inode)
        for fields in held
    )


def _refuses(path: Path) -> bool | None:
    """Return whether Windows refuses to read a file because of somebody's lock."""
    try:
        with open_for_reading(path) as file:
            file.read(1)
    except OSError as error:
        held = getattr(error, "winerror", None) in _WINDOWS_HELD
        # Reading by way of the C library gives no more than that it was refused.
        return True if held or isinstance(error, PermissionError) else None
    return False
