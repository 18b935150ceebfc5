"""Ports that nearly meet: ends against a face without one, rims one cell short of a mesh."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import UNIT_VECTORS
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.couplings.index import SiteIndex
from analyzer.couplings.ports import PLACEMENT_BITS, Ports
from analyzer.parts.parts import Parts

#: Rows of the one part and of the other, of each pair.
Pairs: TypeAlias = tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]


def blind_ends(parts: Parts, ports: Ports) -> Pairs:
    """Return each end that meets a face of a part of its class without an end there.

    The first of a pair is the part with the end. What a part of several cells fills beside its own
    block is known only where it has a port, so that a face of such a cell is not looked at.
    """
    blocks = SiteIndex(parts.dimension, parts.xyz)
    found = [_nothing()]
    for face, ends in enumerate(ports.ends):
        ahead = ends.xyz + UNIT_VECTORS[face]
        one, other = blocks.pairs_at(parts.dimension[ends.part], ahead)
        facing = ports.ends[face ^ 1]
        answers = SiteIndex(parts.dimension[facing.part], facing.xyz)
        answered, _ = answers.pairs_at(parts.dimension[ends.part], ahead)
        keep = ~np.isin(one, answered) & (ports.fits[ends.part[one]] == ports.fits[other])
        found.append((ends.part[one[keep]], other[keep]))
    return _joined(found)


def short_rims(parts: Parts, ports: Ports) -> Pairs:
    """Return each pair of rims that would mesh if one stood a cell nearer along one axis."""
    toothed = np.flatnonzero(ports.placements)
    index = SiteIndex(parts.dimension[toothed], ports.rim_xyz[toothed])
    found = [_nothing()]
    for axis, offset, other_axis, bit_a, bit_b in _placements():
        a = toothed[(ports.axis[toothed] == axis) & (ports.placements[toothed] & bit_a != 0)]
        for step in _farther(offset):
            asked, site = index.pairs_at(parts.dimension[a], ports.rim_xyz[a] + np.array(step))
            one, other = a[asked], toothed[site]
            meets = (
                (ports.axis[other] == other_axis)
                & (ports.placements[other] & bit_b != 0)
                & (ports.fits[one] == ports.fits[other])
            )
            found.append((one[meets], other[meets]))
    return _joined(found)


def _placements() -> Iterator[tuple[int, Offset, int, int, int]]:
    """Yield (axis, offset, other axis, bit of a, bit of b) of each placement, from both rims."""
    beside, diagonal_near, diagonal_far, crossed = PLACEMENT_BITS.values()
    for axis in range(3):
        for offset in beside_offsets(axis):
            yield axis, offset, axis, beside, beside
        for offset in diagonal_offsets(axis):
            yield axis, offset, axis, diagonal_near, diagonal_far
            yield axis, offset, axis, diagonal_far, diagonal_near
        for offset, other_axis, _ in crossed_offsets(axis):
            yield axis, offset, other_axis, crossed, crossed


def _farther(offset: Offset) -> list[Offset]:
    """Return the offsets one step farther along one axis."""
    found = []
    for axis, sign in product(range(3), (-1, 1)):
        if offset[axis] * sign >= 0:
            step = list(offset)
            step[axis] += sign
            found.append((step[0], step[1], step[2]))
    return found


def _nothing() -> Pairs:
    return np.empty(0, np.int64), np.empty(0, np.int64)


def _joined(found: list[tuple[npt.NDArray[Any], npt.NDArray[Any]]]) -> Pairs:
    one, other = (np.concatenate(side) for side in zip(*found, strict=True))
    return one, other
