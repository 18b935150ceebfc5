"""Block entities that are not kept, counted by why."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from analyzer.save.leftovers import Leftovers
from analyzer.save.modified_utf8 import decode_text, encode_text


@dataclass
class Tally:
    """Counts of what is not kept."""

    unknown: Counter[bytes] = field(default_factory=Counter)
    duplicate: int = 0
    misplaced: int = 0
    malformed: int = 0
    unfinished: int = 0

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
