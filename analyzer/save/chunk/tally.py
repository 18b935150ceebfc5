"""Block entities that are not kept, counted by why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.nbt.modified_utf8 import decode_text, encode_text

# Bounds on the ids that one region may make this remember: how many, and their bytes together.
_MOST_IDS: Final = 10_000
_MOST_BYTES: Final = 4 * 1024 * 1024
_LONGEST_BYTES: Final = 65_535


@dataclass
class Tally:
    """Counts of what is not kept."""

    unknown: Counter[bytes] = field(default_factory=Counter)
    duplicate: int = 0
    misplaced: int = 0
    malformed: int = 0
    unfinished: int = 0

    def has_room(self, names: Iterable[bytes]) -> bool:
        """Return whether ids can be counted, too, without there being too many different ones."""
        fresh = set(names).difference(self.unknown)
        if not fresh:
            return True
        if len(self.unknown) + len(fresh) > _MOST_IDS:
            return False
        # Nearly always they are so few that even the longest possible would fit.
        longest = _LONGEST_BYTES * (len(self.unknown) + len(fresh))
        return longest <= _MOST_BYTES or _bytes_of(self.unknown) + _bytes_of(fresh) <= _MOST_BYTES

    def add(self, other: Tally) -> None:
        """Take in another tally."""
        self.unknown.update(other.unknown)
        self.duplicate += other.duplicate
        self.misplaced += other.misplaced
        self.malformed += other.malformed
        self.unfinished += other.unfinished

    def add_leftovers(self, left: Leftovers) -> None:
        """Take in the counts of an earlier tally."""
        self.unknown.update({encode_text(name): count for name, count in left.unknown})
        self.duplicate += left.duplicate
        self.misplaced += left.misplaced
        self.malformed += left.malformed
        self.unfinished += left.unfinished

    def leftovers(self) -> Leftovers:
        """Return the counts, frozen."""
        unknown: Counter[str] = Counter()
        for raw, count in self.unknown.items():
            unknown[decode_text(raw)] += count
        return Leftovers(
            tuple(sorted(unknown.items())),
            self.duplicate,
            self.misplaced,
            self.malformed,
            self.unfinished,
        )


def _bytes_of(names: Iterable[bytes]) -> int:
    return sum(map(len, names))
