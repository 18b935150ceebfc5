"""How a chunk slot ended."""

from __future__ import annotations

from enum import IntEnum
from typing import Final


class SlotStatus(IntEnum):
    """How a chunk slot ended. "Not looked at" is a result.

    ABSENT: no location. READ: inflated and walked whole. SIFTED: the block-entity list was
    reached, was complete and names nothing wanted; what lies behind it was not inflated.
    UNFINISHED: the world's generator had not finished it. OLD: from before 1.13.
    UNREADABLE: see the fault of that chunk. UNSTABLE: another program wrote it each time it was
    read; there is a fault as well.
    """

    ABSENT = 0
    READ = 1
    SIFTED = 2
    UNFINISHED = 3
    OLD = 4
    UNREADABLE = 5
    UNSTABLE = 6


#: What tells that a slot's parts are known.
LOOKED_AT: Final = (SlotStatus.READ, SlotStatus.SIFTED)
