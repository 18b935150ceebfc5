"""The user's interrupt on its way to the exit status."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from analyzer.save.reading.progress import Progress


class StoppedError(Exception):
    """The user interrupted the command.

    Parameters
    ----------
    reached
        How far the reading had come; None where nothing was being read.
    """

    def __init__(self, reached: Progress | None = None) -> None:
        super().__init__(reached)
        self.reached = reached

    def __str__(self) -> str:
        reached = self.reached
        if reached is None:
            return "interrupted"
        return (
            f"interrupted after {reached.regions_done:,} of {reached.regions:,} regions, "
            f"{reached.chunks_done:,} chunks"
        )
