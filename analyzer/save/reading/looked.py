"""What was looked at in one region or template."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from analyzer.base.place import SLOTS
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.files.save_files import RegionFile, Source, TemplateFile


@dataclass(frozen=True)
class RegionSlots:
    """How the slots of one region file ended.

    Parameters
    ----------
    status
        A `SlotStatus` a slot, 1024 bytes.
    faults
        What could not be read.
    data_versions
        The data versions met, ascending.
    """

    region: RegionFile
    status: bytes
    faults: tuple[Fault, ...]
    data_versions: tuple[int, ...]

    @property
    def dimension(self) -> str:
        """The name of its dimension."""
        return self.region.dimension

    @property
    def unstable(self) -> frozenset[int]:
        """The slots that another program wrote each time they were read."""
        if SlotStatus.UNSTABLE not in self.status:
            return frozenset()
        return frozenset(n for n in range(SLOTS) if self.status[n] == SlotStatus.UNSTABLE)

    @property
    def chunks(self) -> int:
        """How many slots have a chunk, readable or not."""
        return SLOTS - self.status.count(bytes([SlotStatus.ABSENT]))


@dataclass(frozen=True)
class TemplateLook:
    """How one structure template ended: it is known whole, or not at all.

    Parameters
    ----------
    fault
        Why it could not be read; None where it was.
    data_versions
        Its data version; empty where it could not be read.
    several_palettes
        Whether it has more than one palette, of which the first was read.
    """

    template: TemplateFile
    fault: Fault | None
    data_versions: tuple[int, ...] = ()
    several_palettes: bool = False

    @property
    def dimension(self) -> str:
        """The name of its dimension."""
        return self.template.dimension

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What could not be read."""
        return () if self.fault is None else (self.fault,)

    @property
    def chunks(self) -> int:
        """How many chunks it has: none."""
        return 0


Looked: TypeAlias = RegionSlots | TemplateLook


def not_looked_at(source: Source) -> Looked:
    """Return what is known of a region or template whose reading ended the process, twice."""
    detail = "the process that read it has ended twice, perhaps for want of memory"
    fault = Fault(source.dimension, source.file, None, "worker-died", detail)
    if isinstance(source, TemplateFile):
        return TemplateLook(source, fault)
    return RegionSlots(source, bytes([SlotStatus.UNREADABLE]) * SLOTS, (fault,), ())
