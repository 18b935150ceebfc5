"""Opening a save's files, for reading only."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, Final

#: The folder that no link leads out of, for saves whose links are to be followed.
ANYWHERE: Final = Path(os.sep)

# Opening a pipe that lies among the regions must not wait for a writer.
_FLAGS: Final = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
# Of a system that cannot refuse a link as it opens it is asked before.
_NO_LINK: Final = getattr(os, "O_NOFOLLOW", 0)


def open_for_reading(path: Path) -> BinaryIO:
    """Open a regular file for reading, unbuffered.

    Raises
    ------
    OSError
        Where it cannot be opened, or is no regular file.
    """
    descriptor = os.open(path, _FLAGS)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError("it is not a regular file")
        return os.fdopen(descriptor, "rb", buffering=0)
    except BaseException:
        os.close(descriptor)
        raise


def read_beginning(path: Path, size: int) -> tuple[os.stat_result, bytes]:
    """Read how a regular file begins, and what the system says of it; a link is not followed.

    Parameters
    ----------
    path
        The file.
    size
        How many bytes, at most.

    Raises
    ------
    OSError
        Where it cannot be opened or read, or is no regular file.

    Notes
    -----
    Costs four calls of the system, about 6 µs: less than making an object of the file.
    """
    if not _NO_LINK and stat.S_ISLNK(os.lstat(path).st_mode):
        raise OSError("it is a link")
    descriptor = os.open(path, _FLAGS | _NO_LINK)
    try:
        result = os.fstat(descriptor)
        if not stat.S_ISREG(result.st_mode):
            raise OSError("it is not a regular file")
        beginning = os.read(descriptor, size)
        # The system may give less than there is.
        while len(beginning) < size and (more := os.read(descriptor, size - len(beginning))):
            beginning += more
    finally:
        os.close(descriptor)
    return result, beginning


def names_in(folder: Path) -> list[str]:
    """Return the names of what is in a folder, sorted.

    Raises
    ------
    OSError
        Where it cannot be listed.
    """
    return sorted(os.listdir(folder))  # noqa: PTH208 - pathlib is slower


def is_folder(path: Path) -> bool:
    """Return whether a path leads to a folder; no, where that cannot be told."""
    return _is_kind(path, stat.S_ISDIR)


def is_file(path: Path) -> bool:
    """Return whether a path leads to a regular file; no, where that cannot be told."""
    return _is_kind(path, stat.S_ISREG)


def _is_kind(path: Path, test: Callable[[int], bool]) -> bool:
    # pathlib's own questions raise where a folder on the way may not be entered.
    try:
        return test(path.stat().st_mode)
    except OSError:
        return False


def leaves(path: Path, root: Path) -> bool:
    """Return whether a path leads out of a folder through a link, or through links in a ring."""
    try:
        target = path.resolve()
        return root != ANYWHERE and not target.is_relative_to(root.resolve())
    except (OSError, RuntimeError):
        return True


def why(error: OSError) -> str:
    """Return an error's reason as a clause, without the path that its own text names."""
    return (error.strerror or str(error)).lower()
