"""How the chunks that were walked before began, the latest first."""

from __future__ import annotations

import re
from typing import Final

from analyzer.save.chunk.chunk import ChunkContent
from analyzer.save.sift.lead import Lead, learn_lead

# A region where chunks begin in more ways than these has programs or layouts of every sort.
_MOST_LEADS: Final = 8

# How chunks of the regions before began: those of the next will do so too. What a lead says holds
# anywhere, so that it makes no difference to know it sooner.
_recent: list[Lead] = []


class KnownLeads:
    """The leads that one region's chunks are held against; at first those of the regions before.

    Attributes
    ----------
    latest
        Some leads, the latest first.
    """

    def __init__(self) -> None:
        self.latest = list(_recent)

    def learn(self, content: ChunkContent) -> None:
        """Remember how a chunk begins that was sifted."""
        global _recent  # noqa: PLW0603 - see there
        lead = learn_lead(content)
        if lead is None or any(lead.pattern == known.pattern for known in self.latest):
            return
        del self.latest[_MOST_LEADS - 1 :]
        self.latest.insert(0, lead)
        _recent = list(self.latest)

    def find(self, data: bytes | bytearray) -> tuple[Lead, re.Match[bytes]] | None:
        """Return the lead by which a chunk begins, and put it before the others."""
        latest = self.latest
        for number, lead in enumerate(latest):
            found = lead.match(data)
            if found is not None:
                if number:
                    latest.insert(0, latest.pop(number))
                return lead, found
        return None
