"""What a save has at one position."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.block import BlockState
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault


@dataclass(frozen=True)
class BlockThere:
    """What a save has at one position.

    Parameters
    ----------
    status
        How the slot of its chunk ended; never sifted.
    block
        The block state there; None where the chunk was not read.
    entity
        Id of the block entity there, if there is one.
    fault
        Why it could not be read, if it could not.
    """

    status: SlotStatus
    block: BlockState | None = None
    entity: str | None = None
    fault: Fault | None = None
