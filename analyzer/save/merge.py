"""From all records to one scan, the same whatever order they came in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.tables import frozen
from analyzer.save.bare import BareBlocks
from analyzer.save.facts import gather_facts
from analyzer.save.fault import fault_order
from analyzer.save.looked import Looked, TemplateLook
from analyzer.save.record import ScanRecord
from analyzer.save.save_files import SaveFiles
from analyzer.save.scan import (
    Candidates,
    Coverage,
    Fault,
    Leftovers,
    Readings,
    RegionCoverage,
    Scan,
)
from analyzer.save.wanted import WantedTables

_Table: TypeAlias = npt.NDArray[np.int32]

#: The slots that were written while a save was read, by the region file's path in it.
Written: TypeAlias = Mapping[str, frozenset[int]]
#: Of a save that nobody wrote.
NONE: Final[Written] = MappingProxyType({})


def merge_scan(
    files: SaveFiles, records: Sequence[ScanRecord], tables: WantedTables, written: Written = NONE
) -> Scan:
    """Return the scan of a save.

    Parameters
    ----------
    files
        The files that were read.
    records
        What each of them gave; their order does not matter.
    tables
        The wanted ids and paths that the records' numbers mean.
    written
        The slots that were written meanwhile.
    """
    looked = [record.looked for record in records]
    dimensions, states = files.dimensions, merge_states(records)
    return Scan(
        dimensions=dimensions,
        candidates=merge_candidates(records, dimensions=dimensions, states=states, tables=tables),
        coverage=merge_coverage(looked, dimensions, files.faults, written),
        leftovers=merge_leftovers(records),
        facts=gather_facts(files, looked),
        bare=merge_bare(records, dimensions=dimensions, states=states),
        strangers=merge_strangers(records),
    )


def merge_states(records: Iterable[ScanRecord]) -> tuple[BlockState, ...]:
    """Return the block states that any record points to, sorted."""
    return tuple(sorted({state for record in records for state in record.states}))


def merge_candidates(
    records: Sequence[ScanRecord],
    *,
    dimensions: Sequence[str],
    states: Sequence[BlockState],
    tables: WantedTables,
) -> Candidates:
    """Return the candidates of all records; none gives tables of length 0.

    Parameters
    ----------
    records
        The records; their order does not matter.
    dimensions
        Names of the dimensions, sorted.
    states
        As `merge_states` gives them.
    tables
        The wanted ids and paths that the records' numbers mean.
    """
    cells = _stacked([record.cells for record in records], 6)
    dimension = _dimension_of(records, [record.cells for record in records], dimensions)
    state = _state_of(records, [record.cells for record in records], states)
    order = np.lexsort((cells[:, 2], cells[:, 1], cells[:, 0], dimension))
    return Candidates(
        dimension=frozen(dimension[order]),
        xyz=frozen(cells[order, :3]),
        state=frozen(state[order]),
        entity=frozen(cells[order, 4].astype(np.int16)),
        data_version=frozen(cells[order, 5]),
        readings=_merge_readings(records, order),
        states=tuple(states),
        entities=tables.entities,
        paths=tables.paths,
    )


def merge_bare(
    records: Sequence[ScanRecord], *, dimensions: Sequence[str], states: Sequence[BlockState]
) -> BareBlocks:
    """Return the bare blocks of all records; the parameters are those of `merge_candidates`."""
    tables = [record.bare for record in records]
    cells = _stacked(tables, 4)
    dimension = _dimension_of(records, tables, dimensions)
    state = _state_of(records, tables, states)
    order = np.lexsort((cells[:, 2], cells[:, 1], cells[:, 0], dimension))
    return BareBlocks(
        dimension=frozen(dimension[order]),
        xyz=frozen(cells[order, :3]),
        state=frozen(state[order]),
    )


def _dimension_of(
    records: Sequence[ScanRecord], tables: Sequence[_Table], dimensions: Sequence[str]
) -> npt.NDArray[np.int16]:
    number_of = {name: number for number, name in enumerate(dimensions)}
    numbers = np.array([number_of[record.looked.dimension] for record in records], np.int16)
    return np.repeat(numbers, [len(table) for table in tables])


def _state_of(
    records: Sequence[ScanRecord], tables: Sequence[_Table], states: Sequence[BlockState]
) -> _Table:
    """Turn the records' own numbers of states, in column 3, into those of all records."""
    number_of = {state: number for number, state in enumerate(states)}
    pieces = [np.empty(0, np.int32)]
    for record, table in zip(records, tables, strict=True):
        own = np.array([number_of[state] for state in record.states], np.int32)
        pieces.append(own[table[:, 3]])
    return np.concatenate(pieces)


def _merge_readings(records: Sequence[ScanRecord], order: npt.NDArray[np.intp]) -> Readings:
    readings = _stacked([record.readings for record in records], 3)
    integers = np.concatenate([np.empty(0, np.int64), *(r.integers for r in records)])
    reals = np.concatenate([np.empty(0, np.float64), *(r.reals for r in records)])
    shift = np.repeat(_starts(records), [len(r.readings) for r in records])
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
    looked: Iterable[Looked],
    dimensions: Sequence[str],
    faults: Iterable[Fault],
    written: Written = NONE,
) -> Coverage:
    """Return what was looked at in all regions and templates, with the save's own faults.

    Parameters
    ----------
    looked
        What was looked at in each.
    dimensions
        Names of the dimensions, sorted.
    faults
        The save's own.
    written
        The slots that were written meanwhile, by the region file's path.
    """
    number_of = {name: number for number, name in enumerate(dimensions)}
    regions = []
    whole = set()
    every = list(faults)
    for one in looked:
        every.extend(one.faults)
        dimension = number_of[one.dimension]
        if isinstance(one, TemplateLook):
            if one.fault is None:
                whole.add(dimension)
        else:
            at = one.region
            slots = written.get(at.file, frozenset()) | one.unstable
            regions.append(RegionCoverage(dimension, at.rx, at.rz, at.file, one.status, slots))
    regions.sort(key=lambda region: (region.dimension, region.rx, region.rz))
    return Coverage(tuple(regions), tuple(sorted(every, key=fault_order)), frozenset(whole))


def merge_leftovers(records: Iterable[ScanRecord]) -> Leftovers:
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


def merge_strangers(records: Iterable[ScanRecord]) -> tuple[tuple[str, int], ...]:
    """Return the unknown block names of all records, with their counts."""
    strangers: Counter[str] = Counter()
    for record in records:
        strangers.update(dict(record.strangers))
    return tuple(sorted(strangers.items()))


def _starts(records: Sequence[ScanRecord]) -> npt.NDArray[np.int64]:
    lengths = [len(record.cells) for record in records]
    return np.cumsum([0, *lengths], dtype=np.int64)[:-1]


def _stacked(tables: Sequence[_Table], columns: int) -> _Table:
    return np.concatenate([np.empty((0, columns), np.int32), *tables])
