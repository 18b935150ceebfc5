"""What a scan met and did not keep."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Leftovers:
    """Block entities that the scan did not keep, by why.

    Parameters
    ----------
    unknown
        (block-entity id, count) of ids that were not asked for, sorted by id.
    duplicate
        Entries with a later entry at the same place; the last one counts, as in the game.
    misplaced
        Entries whose position lies outside their chunk; skipped.
    malformed
        Entries without a usable id or position; skipped.
    unfinished
        Wanted entries in unfinished chunks; skipped.
    """

    unknown: tuple[tuple[str, int], ...] = ()
    duplicate: int = 0
    misplaced: int = 0
    malformed: int = 0
    unfinished: int = 0
