"""How much of a save is read before a chunk is given up: bounds on hostile or broken data."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Bounds of reading one chunk.

    Parameters
    ----------
    inflated_bytes
        Largest inflated size of a chunk. Real chunks reach 0.3 MB (docs/save-format.md).
    tags
        Most tags walked in a chunk. Real chunks have 73 to 660 on average.
    depth
        Deepest nesting of lists and compounds; the game itself refuses more than 512.
    """

    inflated_bytes: int = 32 * 1024 * 1024
    tags: int = 4_000_000
    depth: int = 512
