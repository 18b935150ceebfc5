"""Find the ports that aim into something not read, where a coupling may be missing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_MATRIX, UNIT_VECTORS
from analyzer.base.placements import beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.tables import distinct_rows, frozen
from analyzer.catalogue.catalogue import Port
from analyzer.couplings.couplings import Cuts
from analyzer.couplings.links import FoundLinks
from analyzer.couplings.ports import PLACEMENT_BITS, Ports
from analyzer.parts.parts import Parts
from analyzer.save.scan import LOOKED_AT, Coverage

#: Rows of parts, their port, and the positions that it aims at.
_Aim: TypeAlias = tuple[npt.NDArray[np.int64], npt.NDArray[Any], npt.NDArray[np.int64]]


def find_cuts(parts: Parts, ports: Ports, coverage: Coverage, links: FoundLinks) -> Cuts:
    """Find every port that aims at a block in a chunk that was not looked at.

    Parameters
    ----------
    parts, ports
        The parts and what they offer; none gives no cuts.
    coverage
        What was looked at. A chunk that was never generated was not.
    links
        The links, of which some may lead into such a chunk.

    Returns
    -------
    Cuts
        Sorted by part, port and the position aimed at.
    """
    found = [*_ends(parts, ports), *_rims(parts, ports), *_offsets(parts)]
    found.append(
        (links.unread_part, np.full(len(links.unread_part), Port.LINK), links.unread_towards)
    )
    part = np.concatenate([rows for rows, _, _ in found])
    port = np.concatenate([port for _, port, _ in found])
    towards = np.concatenate([block for _, _, block in found])
    status = coverage.status_of(
        dimension=parts.dimension[part], cx=towards[:, 0] >> 4, cz=towards[:, 2] >> 4
    )
    unseen = ~np.isin(status, LOOKED_AT)
    rows = distinct_rows(part[unseen], port[unseen], *towards[unseen].T, status[unseen])
    part, port, x, y, z, status = rows
    return Cuts(
        part=frozen(part.astype(np.int32)),
        port=frozen(port.astype(np.int8)),
        towards=frozen(np.stack([x, y, z], axis=1).astype(np.int64)),
        status=frozen(status.astype(np.uint8)),
    )


def _ends(parts: Parts, ports: Ports) -> Iterator[_Aim]:
    for face, ends in enumerate(ports.ends):
        aims = _Aims(parts, ends.part, ends.xyz, reach=1)
        out, towards = aims.leaving(UNIT_VECTORS[face].astype(np.int16))
        yield ends.part[out], ends.side[out], towards


def _rims(parts: Parts, ports: Ports) -> Iterator[_Aim]:
    for axis in range(3):
        offsets_of = {
            "beside": beside_offsets(axis),
            "diagonal": diagonal_offsets(axis),
            "crossed": tuple(sorted({offset for offset, _, _ in crossed_offsets(axis)})),
        }
        for (_, name), bit in PLACEMENT_BITS.items():
            rows = np.flatnonzero((ports.axis == axis) & (ports.placements & bit != 0))
            aims = _Aims(parts, rows, ports.rim_xyz[rows], reach=1)
            for offset in np.array(offsets_of[name], np.int16) if len(rows) else ():
                out, towards = aims.leaving(offset)
                yield rows[out], np.full(len(out), Port.RIM), towards


def _offsets(parts: Parts) -> Iterator[_Aim]:
    for number, entry in enumerate(parts.catalogues.types):
        rows = np.flatnonzero(parts.type == number) if entry.meets else np.empty(0, np.int64)
        for meeting in entry.meets:
            towards = parts.xyz[rows] + POSE_MATRIX[parts.pose[rows]] @ np.array(
                meeting.at, np.int64
            )
            out, towards = _Aims(parts, rows, towards, reach=0).leaving(np.zeros(3, np.int16))
            yield rows[out], np.full(len(out), Port.OFFSET), towards


class _Aims:
    """Cells of some parts, of which those near the border of their part's chunk are kept.

    `reach` is how far an offset from a cell may lead along x or z.
    """

    def __init__(
        self, parts: Parts, rows: npt.NDArray[np.int64], xyz: npt.NDArray[np.int64], *, reach: int
    ) -> None:
        # A catalogue's cells lie near, so that 16 bits hold them.
        x, z = ((xyz[:, axis] - (parts.xyz[rows, axis] & ~15)).astype(np.int16) for axis in (0, 2))
        near = np.flatnonzero((x - reach | x + reach | z - reach | z + reach) & ~15)
        self._near, self._xyz, self._x, self._z = near, xyz[near], x[near], z[near]

    def leaving(
        self, offset: npt.NDArray[Any]
    ) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        """Return which of the cells lead out of the chunk by an offset, and where each leads."""
        out = np.flatnonzero((self._x + offset[0] | self._z + offset[2]) & ~15)
        return self._near[out], self._xyz[out] + offset
