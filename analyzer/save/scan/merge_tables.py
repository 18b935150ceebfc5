"""From the tables of all records to those of one scan."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.tables import frozen, order_of_rows
from analyzer.save.scan.bare import BareBlocks
from analyzer.save.scan.joined_tables import JoinedTables, join_tables, starts_of
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import Candidates, Readings
from analyzer.save.scan.wanted import WantedTables


def merge_tables(
    records: Sequence[ScanRecord], *, dimensions: Sequence[str], tables: WantedTables
) -> tuple[Candidates, BareBlocks]:
    """Return the candidates and the bare blocks of all records; none gives tables of length 0.

    Parameters
    ----------
    records
        The records; their order does not matter.
    dimensions
        Names of the dimensions, sorted.
    tables
        The wanted ids and paths that the records' numbers mean.
    """
    joined = join_tables(records)
    states, own, first = _merge_states(records)
    number_of = {name: number for number, name in enumerate(dimensions)}
    home = np.array([number_of[record.looked.dimension] for record in records], np.int16)
    candidates = _merge_candidates(
        joined,
        dimension=np.repeat(home, joined.cell_counts),
        state=own[joined.cells[:, 3] + np.repeat(first, joined.cell_counts)],
        states=states,
        tables=tables,
    )
    bare = _merge_bare(
        joined.bare,
        dimension=np.repeat(home, joined.bare_counts),
        state=own[joined.bare[:, 3] + np.repeat(first, joined.bare_counts)],
    )
    return candidates, bare


def _merge_states(
    records: Sequence[ScanRecord],
) -> tuple[tuple[BlockState, ...], npt.NDArray[np.int32], npt.NDArray[np.int64]]:
    """Return the states of all records, sorted; the number among them of each of each record's
    own states, one record after the other; and where each record's begin.
    """
    # Many of those that were kept have one and the same tuple: it is looked into once.
    tuples = {id(record.states): record.states for record in records}
    states = tuple(sorted(set(chain.from_iterable(tuples.values()))))
    number_of = {state: number for number, state in enumerate(states)}
    numbers = {key: [number_of[state] for state in some] for key, some in tuples.items()}
    lists = [numbers[id(record.states)] for record in records]
    own = np.array(list(chain.from_iterable(lists)), np.int32)
    return states, own, starts_of(np.array(list(map(len, lists)), np.int64))


def _merge_candidates(
    joined: JoinedTables,
    *,
    dimension: npt.NDArray[np.int16],
    state: npt.NDArray[np.int32],
    states: tuple[BlockState, ...],
    tables: WantedTables,
) -> Candidates:
    cells = joined.cells
    order = order_of_rows(dimension, cells[:, 0], cells[:, 1], cells[:, 2])
    return Candidates(
        dimension=frozen(dimension[order]),
        xyz=frozen(cells[order, :3]),
        state=frozen(state[order]),
        entity=frozen(cells[order, 4].astype(np.int16)),
        data_version=frozen(cells[order, 5]),
        readings=_merge_readings(joined, order),
        states=states,
        entities=tables.entities,
        paths=tables.paths,
    )


def _merge_bare(
    cells: npt.NDArray[np.int32],
    *,
    dimension: npt.NDArray[np.int16],
    state: npt.NDArray[np.int32],
) -> BareBlocks:
    order = order_of_rows(dimension, cells[:, 0], cells[:, 1], cells[:, 2])
    return BareBlocks(
        dimension=frozen(dimension[order]),
        xyz=frozen(cells[order, :3]),
        state=frozen(state[order]),
    )


def _merge_readings(joined: JoinedTables, order: npt.NDArray[np.int64]) -> Readings:
    readings = joined.readings
    shift = np.repeat(starts_of(joined.cell_counts), joined.reading_counts)
    place = np.empty(len(order), np.int32)
    place[order] = np.arange(len(order), dtype=np.int32)
    row = place[readings[:, 0] + shift]
    sorting = order_of_rows(row, readings[:, 1])
    return Readings(
        row=frozen(row[sorting]),
        path=frozen(readings[sorting, 1].astype(np.int16)),
        tag=frozen(readings[sorting, 2].astype(np.int8)),
        integer=frozen(joined.integers[sorting]),
        real=frozen(joined.reals[sorting]),
    )
