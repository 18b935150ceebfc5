"""From the records of all regions to one scan, the same whatever order they came in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen
from analyzer.save.record import RegionRecord
from analyzer.save.region_slots import RegionSlots
from analyzer.save.scan import (
    Candidates,
    Coverage,
    Fault,
    Leftovers,
    Readings,
    RegionCoverage,
)
from analyzer.save.wanted import WantedTables


def merge_candidates(
    records: Sequence[RegionRecord], dimensions: Sequence[str], tables: WantedTables
) -> Candidates:
    """Return the candidates of all records; none gives tables of length 0.

    Parameters
    ----------
    records
        The records; their order does not matter.
    dimensions
        Names of the dimensions, sorted.
    tables
        The wanted ids and paths that the records' numbers mean.
    """
    states = tuple(sorted({state for record in records for state in record.states}))
    number_of = {state: number for number, state in enumerate(states)}
    lengths = [len(record.cells) for record in records]
    cells = _stacked([record.cells for record in records], 6)
    dimension = np.repeat(
        np.array([dimensions.index(r.slots.region.dimension) for r in records], np.int16), lengths
    )
    state = np.empty(len(cells), np.int32)
    starts = _starts(lengths)
    for record, start, length in zip(records, starts, lengths, strict=True):
        own = np.array([number_of[state] for state in record.states], np.int32)
        state[start : start + length] = own[record.cells[:, 3]]
    order = np.lexsort((cells[:, 2], cells[:, 1], cells[:, 0], dimension))
    return Candidates(
        dimension=frozen(dimension[order]),
        xyz=frozen(cells[order, :3]),
        state=frozen(state[order]),
        entity=frozen(cells[order, 4].astype(np.int16)),
        data_version=frozen(cells[order, 5]),
        readings=_merge_readings(records, starts, order),
        states=states,
        entities=tables.entities,
        paths=tables.paths,
    )


def _merge_readings(
    records: Sequence[RegionRecord], starts: Sequence[int], order: npt.NDArray[np.intp]
) -> Readings:
    readings = _stacked([record.readings for record in records], 3)
    integers = np.concatenate([np.empty(0, np.int64), *(r.integers for r in records)])
    reals = np.concatenate([np.empty(0, np.float64), *(r.reals for r in records)])
    shift = np.repeat(np.array(starts, np.int64), [len(r.readings) for r in records])
    place = np.empty(len(order), np.int32)
    place[order] = np.arange(len(order), dtype=np.int32)
    row = place[readings[:, 0] + shift]
    sorting = np.lexsort((readings[:, 1], row))
    return Readings(
        row=frozen(row[sorting]),
        path=frozen(readings[sorting, 1].astype(np.int16)),
        tag=frozen(readings[sorting, 2].astype(np.int8)),
        integer=frozen(integers[sorting]),
        real=frozen(reals[sorting]),
    )


def merge_coverage(
    slots: Iterable[RegionSlots], dimensions: Sequence[str], faults: Iterable[Fault]
) -> Coverage:
    """Return what was looked at in all regions, with the faults of the save itself."""
    regions = []
    every = list(faults)
    for region in slots:
        file = region.region
        every.extend(region.faults)
        regions.append(
            RegionCoverage(
                dimension=dimensions.index(file.dimension),
                rx=file.rx,
                rz=file.rz,
                file=file.file,
                status=region.status,
            )
        )
    regions.sort(key=lambda region: (region.dimension, region.rx, region.rz))
    return Coverage(tuple(regions), tuple(sorted(every, key=fault_order)))


def fault_order(fault: Fault) -> tuple[str, str, tuple[int, ...], str, str]:
    """Return the key by which faults are sorted: by place, a file before its chunks."""
    return (fault.dimension, fault.file, tuple(fault.chunk or ()), fault.reason, fault.detail)


def merge_leftovers(records: Iterable[RegionRecord]) -> Leftovers:
    """Return the leftovers of all records together."""
    unknown: Counter[str] = Counter()
    duplicate = misplaced = malformed = unfinished = 0
    for record in records:
        left = record.leftovers
        unknown.update(dict(left.unknown))
        duplicate += left.duplicate
        misplaced += left.misplaced
        malformed += left.malformed
        unfinished += left.unfinished
    return Leftovers(
        unknown=tuple(sorted(unknown.items())),
        duplicate=duplicate,
        misplaced=misplaced,
        malformed=malformed,
        unfinished=unfinished,
    )


def _starts(lengths: Sequence[int]) -> list[int]:
    starts, total = [], 0
    for length in lengths:
        starts.append(total)
        total += length
    return starts


def _stacked(tables: Sequence[npt.NDArray[np.int32]], columns: int) -> npt.NDArray[np.int32]:
    return np.concatenate([np.empty((0, columns), np.int32), *tables])
