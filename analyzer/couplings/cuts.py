"""Find the ports that aim into something not read, where a coupling may be missing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import UNITS
from analyzer.base.placements import beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.tables import frozen
from analyzer.couplings.couplings import RIM, Cuts
from analyzer.couplings.ports import PLACEMENT_BITS, Ports
from analyzer.parts.parts import Parts
from analyzer.save.scan import Coverage, SlotStatus

_LOOKED_AT = (SlotStatus.READ, SlotStatus.SIFTED)


def find_cuts(parts: Parts, ports: Ports, coverage: Coverage) -> Cuts:
    """Find every port that aims at a block in a chunk that was not looked at.

    Parameters
    ----------
    parts, ports
        The parts and what they offer; none gives no cuts.
    coverage
        What was looked at. A chunk that was never generated was not.

    Returns
    -------
    Cuts
        Sorted by part, port and the position aimed at.
    """
    found = [
        (rows, np.broadcast_to(port, len(rows)), parts.xyz[rows].astype(np.int64) + offset)
        for rows, port, offset in _aims(parts, ports)
        if len(rows)
    ]
    if not found:
        nothing = np.empty(0, np.int8)
        return _cuts(nothing, nothing, np.empty((0, 3), np.int8), nothing)
    part = np.concatenate([rows for rows, _, _ in found])
    port = np.concatenate([port for _, port, _ in found])
    towards = np.concatenate([block for _, _, block in found])
    status = coverage.status_of(
        dimension=parts.dimension[part], cx=towards[:, 0] >> 4, cz=towards[:, 2] >> 4
    )
    unseen = ~np.isin(status, _LOOKED_AT)
    return _cuts(part[unseen], port[unseen], towards[unseen], status[unseen])


def _aims(
    parts: Parts, ports: Ports
) -> Iterator[tuple[npt.NDArray[np.int64], npt.NDArray[np.int8], npt.NDArray[np.int8]]]:
    """Yield (parts, their port, offset) for all that aims from one chunk into another."""
    for face in (0, 1, 4, 5):
        rows = np.flatnonzero((ports.side[:, face] >= 0) & _leaves_chunk(parts, UNITS[face]))
        yield rows, ports.side[rows, face], UNITS[face]
    for axis in range(3):
        offsets_of = {
            "beside": beside_offsets(axis),
            "diagonal": diagonal_offsets(axis),
            "crossed": tuple(sorted({offset for offset, _, _ in crossed_offsets(axis)})),
        }
        for (_, name), bit in PLACEMENT_BITS.items():
            bears = (ports.axis == axis) & (ports.placements & bit != 0)
            if not bears.any():
                continue
            for offset in np.array(offsets_of[name], np.int8):
                rows = np.flatnonzero(bears & _leaves_chunk(parts, offset))
                yield rows, np.full(len(rows), RIM, np.int8), offset


def _leaves_chunk(parts: Parts, offset: npt.NDArray[np.int8]) -> npt.NDArray[np.bool_]:
    leaves = np.zeros(len(parts), bool)
    for axis in (0, 2):
        if offset[axis]:
            leaves |= parts.xyz[:, axis] & 15 == (15 if offset[axis] > 0 else 0)
    return leaves


def _cuts(
    part: npt.NDArray[Any],
    port: npt.NDArray[Any],
    towards: npt.NDArray[Any],
    status: npt.NDArray[Any],
) -> Cuts:
    order = np.lexsort((*towards.T[::-1], port, part))
    return Cuts(
        part=frozen(part[order].astype(np.int32)),
        port=frozen(port[order].astype(np.int8)),
        towards=frozen(towards[order].astype(np.int32)),
        status=frozen(status[order].astype(np.uint8)),
    )
