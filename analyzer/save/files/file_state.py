"""What the system says of a file, by which a change to it shows."""

from __future__ import annotations

import os
import time
from typing import Final, NamedTuple

#: Age, in nanoseconds, from which a file's times tell of any later change: file systems count time
#: in steps of up to two seconds (FAT: https://learn.microsoft.com/windows/win32/sysinfo/file-times).
SETTLED_NS: Final = 2_000_000_000


class FileState(NamedTuple):
    """Size in bytes, modification and change time in nanoseconds since 1970, and inode."""

    size: int
    modified_ns: int
    changed_ns: int
    inode: int

    @classmethod
    def of(cls, result: os.stat_result) -> FileState:
        """Return the state that the system gave."""
        return cls(result.st_size, result.st_mtime_ns, result.st_ctime_ns, result.st_ino)

    @property
    def latest_ns(self) -> int:
        """The later of the two times."""
        return max(self.modified_ns, self.changed_ns)

    def is_settled(self) -> bool:
        """Return whether whatever is written from now on must change the times."""
        return time.time_ns() - self.latest_ns >= SETTLED_NS


class DisturbedError(Exception):
    """A file was written while it was read as one that is not, or may have been."""
