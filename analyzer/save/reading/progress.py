"""How far a long reading has come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Progress:
    """How far a scan or inventory has come.

    Parameters
    ----------
    regions_done, regions
        Region files that are done, of how many; structure templates count as such.
    chunks_done
        Chunks found in the region files that are done, readable or not.
    """

    regions_done: int
    regions: int
    chunks_done: int


#: Told of the progress after each region, and once before the first.
OnProgress = Callable[[Progress], None]
