"""Find every coupling between parts, by array look-ups over sorted positions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import UNITS
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.ratio import tabulate
from analyzer.base.tables import Interner, frozen, unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.couplings.couplings import RIM, Couplings, Cuts, Kind
from analyzer.couplings.cuts import find_cuts
from analyzer.couplings.index import PositionIndex
from analyzer.couplings.ports import PLACEMENT_BITS, Ports, ports_of
from analyzer.parts.parts import Parts
from analyzer.save.scan import Coverage


@dataclass(frozen=True, eq=False)
class _Batch:
    """Couplings of one kind that were found together, with ratios as numbers of `ratios`."""

    a: npt.NDArray[np.int64]
    b: npt.NDArray[np.int64]
    kind: Kind
    port_a: npt.NDArray[np.int8]
    port_b: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int64]


def find_couplings(parts: Parts, coverage: Coverage) -> Couplings:
    """Find every coupling between the parts of a save, and the cuts.

    Parameters
    ----------
    parts
        The parts; none gives no couplings.
    coverage
        What was looked at, for the cuts.

    Returns
    -------
    Couplings
        Each pair of ports that meet, once.

    Notes
    -----
    Every coupling is looked up from its smaller part alone: one binary search for each end that
    looks along a positive axis and for half of each rim's offsets.
    """
    ports = ports_of(parts)
    index = PositionIndex(parts)
    ratios: Interner[Fraction] = Interner()
    batches = [
        *_shaft_couplings(parts, ports, index, ratios),
        *_meshes(parts, ports, index, ratios),
    ]
    return _sorted_table(batches, ratios, find_cuts(parts, ports, coverage))


def _shaft_couplings(
    parts: Parts, ports: Ports, index: PositionIndex, ratios: Interner[Fraction]
) -> Iterator[_Batch]:
    """Join ends that face each other: turn of A's end = minus turn of B's end, outward normals."""
    for face in (0, 2, 4):
        rows = np.flatnonzero(ports.side[:, face] >= 0)
        a, b = _neighbours(parts, ports, index, rows, UNITS[face])
        meets = ports.side[b, face ^ 1] >= 0
        a, b = a[meets], b[meets]
        side_a, side_b = ports.side[a, face], ports.side[b, face ^ 1]
        distinct, number = unique_rows(
            _end_factor(parts, a, side_a),
            ports.sense[a],
            _end_factor(parts, b, side_b),
            ports.sense[b],
        )
        of_row = [
            ratios(-(parts.numbers[factor_a] * sense_a) / (parts.numbers[factor_b] * sense_b))
            for factor_a, sense_a, factor_b, sense_b in distinct.tolist()
        ]
        yield _Batch(a, b, Kind.SHAFT, side_a, side_b, np.array(of_row, np.int64)[number])


def _meshes(
    parts: Parts, ports: Ports, index: PositionIndex, ratios: Interner[Fraction]
) -> Iterator[_Batch]:
    """Join rims: the tooth counts give the magnitude, the placement gives the sign."""
    teeth = parts.column(Field.TEETH)
    for axis, offset, other_axis, bit_a, bit_b, sign in _placements():
        rows = np.flatnonzero((ports.axis == axis) & (ports.placements & bit_a != 0))
        a, b = _neighbours(parts, ports, index, rows, np.array(offset))
        meets = (ports.axis[b] == other_axis) & (ports.placements[b] & bit_b != 0)
        a, b = a[meets], b[meets]
        distinct, number = unique_rows(teeth[a], teeth[b])
        of_row = [
            ratios(sign * parts.numbers[teeth_a] / parts.numbers[teeth_b])
            for teeth_a, teeth_b in distinct.tolist()
        ]
        rim = np.full(len(a), RIM, np.int8)
        yield _Batch(a, b, Kind.MESH, rim, rim, np.array(of_row, np.int64)[number])


def _placements() -> Iterator[tuple[int, Offset, int, int, int, int]]:
    """Yield (axis, offset, other axis, bit of a, bit of b, sign) of each placement with a < b."""
    beside, diagonal_near, diagonal_far, crossed = PLACEMENT_BITS.values()
    for axis in range(3):
        for offset in filter(_ahead, beside_offsets(axis)):
            yield axis, offset, axis, beside, beside, -1
        for offset in filter(_ahead, diagonal_offsets(axis)):
            yield axis, offset, axis, diagonal_near, diagonal_far, -1
            yield axis, offset, axis, diagonal_far, diagonal_near, -1
        for offset, other_axis, sign in crossed_offsets(axis):
            if _ahead(offset):
                yield axis, offset, other_axis, crossed, crossed, sign


def _ahead(offset: Offset) -> bool:
    """Tell whether a part at that offset has the greater row."""
    return offset > (0, 0, 0)


def _neighbours(
    parts: Parts,
    ports: Ports,
    index: PositionIndex,
    rows: npt.NDArray[np.int64],
    offset: npt.NDArray[Any],
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Return the rows with a part of their own `fits` class at an offset, and those parts."""
    found = index.rows_at(
        parts.dimension[rows].astype(np.int64), parts.xyz[rows].astype(np.int64) + offset
    )
    there = found >= 0
    a, b = rows[there], found[there]
    fit = ports.fits[a] == ports.fits[b]
    return a[fit], b[fit]


def _end_factor(
    parts: Parts, rows: npt.NDArray[np.int64], sides: npt.NDArray[np.int8]
) -> npt.NDArray[np.int32]:
    """Return the number of the factor of each row's end on the own side given."""
    factor = np.full(len(rows), -1, np.int32)
    for side in range(6):
        here = sides == side
        if here.any():
            factor[here] = parts.column(Field(side))[rows[here]]
    return factor


def _sorted_table(batches: list[_Batch], ratios: Interner[Fraction], cuts: Cuts) -> Couplings:
    def column(name: str) -> npt.NDArray[np.int64]:
        pieces = [getattr(batch, name).astype(np.int64) for batch in batches]
        return np.concatenate(pieces) if pieces else np.empty(0, np.int64)

    a, b, port_a, port_b, ratio = map(column, ("a", "b", "port_a", "port_b", "ratio"))
    kind = np.repeat([int(batch.kind) for batch in batches], [len(batch.a) for batch in batches])
    order = np.lexsort((port_b, port_a, kind, b, a))
    return Couplings(
        a=frozen(a[order].astype(np.int32)),
        b=frozen(b[order].astype(np.int32)),
        kind=frozen(kind[order].astype(np.int8)),
        port_a=frozen(port_a[order].astype(np.int8)),
        port_b=frozen(port_b[order].astype(np.int8)),
        ratio=frozen(ratio[order].astype(np.int32)),
        ratios=tabulate(ratios.items),
        cuts=cuts,
    )
