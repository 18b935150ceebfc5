"""Couplings of neighbours: ends that face each other, rims that touch."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import UNIT_VECTORS
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.tables import Interner, unique_rows
from analyzer.catalogue.catalogue import Field, Port
from analyzer.couplings.batch import Batch
from analyzer.couplings.couplings import Kind
from analyzer.couplings.index import SiteIndex
from analyzer.couplings.ports import PLACEMENT_BITS, EndSites, Ports
from analyzer.parts.parts import Parts


def shaft_couplings(parts: Parts, ports: Ports, ratios: Interner[Fraction]) -> Iterator[Batch]:
    """Join ends that face each other: turn of A's end = minus turn of B's end, outward normals."""
    for face in (0, 2, 4):
        ends, facing = ports.ends[face], ports.ends[face ^ 1]
        index = SiteIndex(parts.dimension[facing.part], facing.xyz)
        one, two = index.pairs_at(parts.dimension[ends.part], ends.xyz + UNIT_VECTORS[face])
        fit = ports.fits[ends.part[one]] == ports.fits[facing.part[two]]
        one, two = one[fit], two[fit]
        a, b = ends.part[one], facing.part[two]
        distinct, number = unique_rows(
            _end_factor(parts, ends, one),
            ports.sense[a],
            _end_factor(parts, facing, two),
            ports.sense[b],
        )
        of_row = [
            ratios(-(parts.numbers[factor_a] * sense_a) / (parts.numbers[factor_b] * sense_b))
            for factor_a, sense_a, factor_b, sense_b in distinct.tolist()
        ]
        ratio = np.array(of_row, np.int64)[number]
        yield Batch(a, b, Kind.SHAFT, ends.side[one], facing.side[two], ratio)


def meshes(parts: Parts, ports: Ports, ratios: Interner[Fraction]) -> Iterator[Batch]:
    """Join rims: the tooth counts give the magnitude, the placement gives the sign."""
    toothed = np.flatnonzero(ports.placements)
    index = SiteIndex(parts.dimension[toothed], ports.rim_xyz[toothed])
    able = {
        (axis, bit): np.flatnonzero(
            (ports.axis[toothed] == axis) & (ports.placements[toothed] & bit != 0)
        )
        for axis in range(3)
        for bit in PLACEMENT_BITS.values()
    }
    for axis, offset, other_axis, bit_a, bit_b, sign in _placements():
        site = able[axis, bit_a]
        if not len(site) or not len(able[other_axis, bit_b]):
            continue
        asked, found = index.pairs_beside(site, offset)
        a, b = toothed[site[asked]], toothed[found]
        meets = (
            (ports.axis[b] == other_axis)
            & (ports.placements[b] & bit_b != 0)
            & (ports.fits[a] == ports.fits[b])
        )
        a, b = a[meets], b[meets]
        rim = np.full(len(a), Port.RIM, np.int8)
        ratio = tooth_ratios(parts, ratios, a=a, b=b, sign=np.full(len(a), sign))
        yield Batch(a, b, Kind.MESH, rim, rim, ratio)


def tooth_ratios(
    parts: Parts,
    ratios: Interner[Fraction],
    *,
    a: npt.NDArray[np.int64],
    b: npt.NDArray[np.int64],
    sign: npt.NDArray[np.int64],
) -> npt.NDArray[np.int64]:
    """Return the number of each pair's ratio: sign × teeth of a / teeth of b."""
    teeth = parts.column(Field.TEETH)
    distinct, number = unique_rows(teeth[a], teeth[b], sign)
    of_row = [
        ratios(signed * parts.numbers[teeth_a] / parts.numbers[teeth_b])
        for teeth_a, teeth_b, signed in distinct.tolist()
    ]
    return np.array(of_row, np.int64)[number]


def _placements() -> Iterator[tuple[int, Offset, int, int, int, int]]:
    """Yield (axis, offset, other axis, bit of a, bit of b, sign) of each placement, once a pair."""
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
    """Tell apart the two offsets of a pair, seen from either rim."""
    return offset > (0, 0, 0)


def _end_factor(
    parts: Parts, ends: EndSites, chosen: npt.NDArray[np.int64]
) -> npt.NDArray[np.int32]:
    """Return the number of the factor of each chosen end."""
    factor = np.full(len(chosen), -1, np.int32)
    for side in range(6):
        here = ends.side[chosen] == side
        if here.any():
            factor[here] = parts.column(Field(side))[ends.part[chosen[here]]]
    return factor
