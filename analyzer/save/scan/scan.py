"""What a scan of a save gives: candidates for parts, what was looked at, what was left over."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.place import Chunk, chunk_of_slot
from analyzer.base.tables import unique_rows
from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.chunk.slot_status import LOOKED_AT, SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.scan.bare import BareBlocks, no_bare_blocks
from analyzer.save.scan.wanted import Wanted

__all__ = [
    "LOOKED_AT",
    "Candidates",
    "Coverage",
    "Fault",
    "Leftovers",
    "Readings",
    "RegionCoverage",
    "SaveFacts",
    "Scan",
    "SlotStatus",
    "Wanted",
]


@dataclass(frozen=True)
class RegionCoverage:
    """The slots of one region file.

    Parameters
    ----------
    dimension, rx, rz, file
        Which one it is.
    status
        A `SlotStatus` a slot, always 1024 bytes.
    written
        The slots that another program wrote, or may have written, between the moment at which the
        save was opened and the end of the scan.
    """

    dimension: int
    rx: int
    rz: int
    file: str
    status: bytes
    written: frozenset[int] = frozenset()


@dataclass(frozen=True, eq=False)
class Coverage:
    """What was looked at: regions sorted by (dimension, rx, rz); faults sorted by place.

    A region without a file is not listed: its slots are absent. `whole` has the dimensions
    (indices) of which everything is known, however far one looks: structure templates.
    """

    regions: tuple[RegionCoverage, ...]
    faults: tuple[Fault, ...]
    whole: frozenset[int] = frozenset()

    def counts(self) -> dict[SlotStatus, int]:
        """Return how many slots of the region files ended with each status."""
        every = b"".join(region.status for region in self.regions)
        return {status: every.count(bytes([status])) for status in SlotStatus}

    def written_chunks(self) -> frozenset[tuple[int, Chunk]]:
        """Return dimension and place of each chunk that was written while the scan ran."""
        return frozenset(
            (region.dimension, chunk_of_slot(region.rx, region.rz, slot))
            for region in self.regions
            for slot in region.written
        )

    def status_of(
        self,
        *,
        dimension: npt.NDArray[Any],
        cx: npt.NDArray[Any],
        cz: npt.NDArray[Any],
    ) -> npt.NDArray[np.uint8]:
        """Return the `SlotStatus` of chunks given by equal-length arrays, shape (n,), uint8."""
        result = np.zeros(len(cx), np.uint8)
        if not len(cx):
            return result
        rows = {
            (region.dimension, region.rx, region.rz): row for row, region in enumerate(self.regions)
        }
        places, number = unique_rows(dimension, cx >> 5, cz >> 5)
        row = np.array([rows.get((one[0], one[1], one[2]), -1) for one in places.tolist()])[number]
        known = np.flatnonzero(row >= 0)
        status = np.frombuffer(b"".join(region.status for region in self.regions), np.uint8)
        slots = (cx[known] & 31) + 32 * (cz[known] & 31)
        result[known] = status[1024 * row[known] + slots]
        result[np.isin(dimension, sorted(self.whole))] = SlotStatus.READ
        return result


@dataclass(frozen=True, eq=False)
class Readings:
    """Numbers stored in block entities, one row a number; parallel arrays of length m.

    Parameters
    ----------
    row
        Row in the candidates, int32, ascending.
    path
        Index into `Candidates.paths`, int16.
    tag
        NBT tag number found there, int8: 1 to 4 integers, 5 and 6 floats; any other: no number.
        A path that leads nowhere has no row.
    integer
        Value of an integer tag, int64.
    real
        Value of a float tag, float64 (a 4-byte float widened).
    """

    row: npt.NDArray[np.int32]
    path: npt.NDArray[np.int16]
    tag: npt.NDArray[np.int8]
    integer: npt.NDArray[np.int64]
    real: npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Candidates:
    """Blocks that may be parts, sorted by (dimension, x, y, z); at most one a position.

    Parameters
    ----------
    dimension
        Index into `Scan.dimensions`, int16, shape (n,).
    xyz
        Block positions, int32, shape (n, 3).
    state
        Index into `states`, int32, shape (n,).
    entity
        Index into `entities`, int16, shape (n,); -1 for a block without a block entity.
    data_version
        Data version of the chunk or template that each was read from, int32, shape (n,). A chunk
        that gives none counts as of the first version with its layout (2844).
    readings
        The stored numbers asked for.
    states, entities, paths
        The tables that the indices point into, each in a fixed order.
    """

    dimension: npt.NDArray[np.int16]
    xyz: npt.NDArray[np.int32]
    state: npt.NDArray[np.int32]
    entity: npt.NDArray[np.int16]
    data_version: npt.NDArray[np.int32]
    readings: Readings
    states: tuple[BlockState, ...]
    entities: tuple[str, ...]
    paths: tuple[tuple[str | int, ...], ...]

    def __len__(self) -> int:
        return len(self.state)


@dataclass(frozen=True)
class SaveFacts:
    """Facts of a save as a whole.

    Parameters
    ----------
    title
        The world's name from ``level.dat`` without control characters, else the folder's name.
    data_versions
        The data versions of the chunks read, ascending (chunks that were sifted may not show one).
    open_elsewhere
        Whether another program holds the save open; None where that cannot be told.
    passed_over
        Folders that hold a dimension which was read from another folder, since the save is laid
        out in more than one way, and saves among templates; paths relative to the save, sorted.
    several_palettes
        Names of the templates that have more than one palette, sorted; the first was read.
    """

    title: str
    data_versions: tuple[int, ...]
    open_elsewhere: bool | None
    passed_over: tuple[str, ...] = ()
    several_palettes: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Scan:
    """A save as far as it was looked at.

    Parameters
    ----------
    dimensions
        Names of the dimensions, sorted.
    candidates, coverage, leftovers, facts
        See their types.
    bare
        Blocks that need a block entity and have none.
    strangers
        (block name, number of palettes that have it) of the blocks in the wanted namespaces that
        are not known, sorted by name. As for `bare`, only what was read whole can show them.
    """

    dimensions: tuple[str, ...]
    candidates: Candidates
    coverage: Coverage
    leftovers: Leftovers
    facts: SaveFacts
    bare: BareBlocks = field(default_factory=no_bare_blocks)
    strangers: tuple[tuple[str, int], ...] = ()
