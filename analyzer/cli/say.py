"""What is said of paths and on standard error: safe to show whatever a path holds."""

from __future__ import annotations

import contextlib
import os
import sys
from typing import TYPE_CHECKING, TextIO

from analyzer.report.clean import shown

if TYPE_CHECKING:
    from pathlib import Path


def say(line: str) -> None:
    """Say one line on standard error; a line break in it is written as an escape.

    Where nobody can hear it nothing is said: that is no reason for another exit status.
    """
    # None where it was closed before the program began.
    if sys.stderr is None:
        return
    try:
        sys.stderr.write(f"{shown(line)}\n")
        sys.stderr.flush()
    except OSError:
        drop(sys.stderr)


def drop(stream: TextIO) -> None:
    """Let a standard stream that cannot be written lead nowhere.

    The interpreter flushes it once more at its end; that must not fail again.
    """
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def quoted(path: Path) -> str:
    """Return a path as it stands in a command; what does not print is written as an escape."""
    import shlex

    return shown(shlex.quote(str(path)))
