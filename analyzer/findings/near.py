"""Ports that nearly meet: ends against a face without one, rims one cell short of a mesh."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import UNITS
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.couplings.kinds import PLACEMENTS, rim_bit
from analyzer.couplings.ports import Ports
from analyzer.parts.parts import Parts

#: Rows of the one part and of the other, of each pair.
Pairs: TypeAlias = tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]


def blind_ends(ports: Ports) -> Pairs:
    """Return each end that meets a face of a part of its class without an end there.

    The first of a pair is the part with the end. What a part of several cells fills beside its own
    block is known only where it has a port, so that a face of such a cell is not looked at.
    """
    sites = ports.sites
    found = [_nothing()]
    for face, unit in enumerate(UNITS):
        one, other = sites.index.pairs_beside(sites.with_end(face), unit)
        answered = one[sites.ends[other] & (1 << (face ^ 1)) != 0]
        blind = (other < sites.blocks) & ~np.isin(one, answered)
        part, other = sites.part[one[blind]], other[blind]
        fit = ports.fits[part] == ports.fits[other]
        found.append((part[fit], other[fit]))
    return _joined(found)


def short_rims(parts: Parts, ports: Ports) -> Pairs:
    """Return each pair of rims that would mesh if one stood a cell nearer along one axis."""
    sites = ports.sites
    found = [_nothing()]
    for offset, bit_a, bit_b in _placements():
        bearing = sites.with_rim(bit_a)
        one = sites.part[bearing]
        for step in _farther(offset) if len(one) else ():
            asked, site = sites.index.pairs_at(
                parts.dimension[one], sites.xyz[bearing].astype(np.int64) + np.array(step)
            )
            a, b = one[asked], sites.part[site]
            meets = (sites.rims[site] & bit_b != 0) & (ports.fits[a] == ports.fits[b])
            found.append((a[meets], b[meets]))
    return _joined(found)


def _placements() -> Iterator[tuple[Offset, int, int]]:
    """Yield (offset, bit of a, bit of b) of each placement, from both rims."""
    for axis in range(3):
        beside, diagonal_near, diagonal_far, crossed = (rim_bit(axis, one) for one in PLACEMENTS)
        for offset in beside_offsets(axis):
            yield offset, beside, beside
        for offset in diagonal_offsets(axis):
            yield offset, diagonal_near, diagonal_far
            yield offset, diagonal_far, diagonal_near
        for offset, other_axis, _ in crossed_offsets(axis):
            yield offset, crossed, rim_bit(other_axis, PLACEMENTS[-1])


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
