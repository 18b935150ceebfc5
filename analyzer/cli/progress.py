"""Progress of a long reading, on one line of a terminal."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final, TextIO

from analyzer.cli.stopped import StoppedError

if TYPE_CHECKING:
    from analyzer.save.reading.progress import Progress

#: Least time between two lines shown.
_PAUSE_SECONDS: Final = 0.2


@contextmanager
def shown_progress(*, quiet: bool) -> Iterator[Callable[[Progress], None]]:
    """Give what is to be told of the progress; it is shown where standard error is a terminal.

    Raises
    ------
    StoppedError
        Where the user interrupts, with the progress so far.
    """
    shown = not quiet and sys.stderr is not None and sys.stderr.isatty()
    line = ProgressLine(sys.stderr) if shown else None
    reached: Progress | None = None

    def tell(progress: Progress) -> None:
        nonlocal reached
        reached = progress
        if line is not None:
            line.tell(progress)

    try:
        yield tell
    except KeyboardInterrupt as error:
        raise StoppedError(reached) from error
    finally:
        if line is not None:
            line.clear()


class ProgressLine:
    """One line that is written over and over.

    Parameters
    ----------
    stream
        The terminal.
    clock
        Seconds that never run back.
    """

    def __init__(self, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> None:
        self._stream = stream
        self._clock = clock
        self._start = clock()
        self._last = self._start
        self._width = 0

    def tell(self, progress: Progress) -> None:
        """Show how far the reading has come, unless that was shown just now."""
        now = self._clock()
        if now - self._last >= _PAUSE_SECONDS:
            self._last = now
            self._show(progress_text(progress, now - self._start))

    def clear(self) -> None:
        """Take the line away."""
        self._show("")
        if self._width:
            self._stream.write("\r")
            self._stream.flush()

    def _show(self, text: str) -> None:
        # Blanks over the rest of the line before; no terminal codes are needed.
        if text or self._width:
            self._stream.write(f"\r{text.ljust(self._width)}")
            self._stream.flush()
        self._width = max(self._width, len(text))


def progress_text(progress: Progress, seconds: float) -> str:
    """Return regions and chunks done, the rate, and the time left.

    The time left takes all regions for alike.
    """
    rate = progress.chunks_done / seconds if seconds > 0 else 0.0
    text = (
        f"{progress.regions_done:,} of {progress.regions:,} regions, "
        f"{progress.chunks_done:,} chunks, {rate:,.0f} chunks/s"
    )
    if not progress.regions_done:
        return text
    left = seconds / progress.regions_done * (progress.regions - progress.regions_done)
    minutes, rest = divmod(round(left), 60)
    return f"{text}, {minutes}:{rest:02} left"
