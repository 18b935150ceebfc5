"""Find the ports that aim into something not read, where a coupling may be missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import UNITS
from analyzer.base.frame_tables import POSE_MATRIX
from analyzer.base.placements import Offset, beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.tables import distinct_rows, frozen
from analyzer.catalogue.catalogue import Port
from analyzer.couplings.couplings import Cuts
from analyzer.couplings.kinds import PLACEMENTS, rim_bit
from analyzer.couplings.links import FoundLinks
from analyzer.couplings.ports import Ports
from analyzer.couplings.sites import Sites
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import LOOKED_AT, Coverage

#: Rows of parts, their port, and the positions that it aims at.
_Aim: TypeAlias = tuple[npt.NDArray[np.int64], npt.NDArray[Any], npt.NDArray[np.int64]]
#: Bits of the world faces that lead out of a chunk, by the place in it along x and along z.
_LEAVING_X: Final = np.array([1 << 1] + [0] * 14 + [1 << 0], np.uint8)
_LEAVING_Z: Final = np.array([1 << 5] + [0] * 14 + [1 << 4], np.uint8)


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
    found = [*_ports_near_borders(parts, ports), *_offsets(parts, ports)]
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


def _ports_near_borders(parts: Parts, ports: Ports) -> Iterator[_Aim]:
    """Yield where ends and rims lead out of their part's chunk."""
    sites = ports.sites
    near = _near_borders(parts, sites)
    part, ends, rims = sites.part[near], sites.ends[near], sites.rims[near]
    aims = _Aims(parts, part, sites.xyz[near])
    for face, unit in enumerate(UNITS):
        out, towards = aims.leaving(np.flatnonzero(ends & (1 << face)), unit)
        yield part[out], ports.kinds.side[ports.kind[part[out]], face], towards
    for axis in range(3):
        for placement, offsets in zip(PLACEMENTS, _offsets_of(axis), strict=True):
            bearing = np.flatnonzero(rims & rim_bit(axis, placement))
            for offset in offsets if len(bearing) else ():
                out, towards = aims.leaving(bearing, offset)
                yield part[out], np.full(len(out), Port.RIM), towards


def _near_borders(parts: Parts, sites: Sites) -> npt.NDArray[np.int64]:
    """Return the sites with a port that may lead out of their part's chunk.

    Rims may along either axis; ends only along their own, so that of a shaft along a border of
    its chunk only the first and the last part remain. Cells outside of the chunk all may.
    """
    x, z = (sites.xyz[:, axis] & 15 for axis in (0, 2))
    leaves = _LEAVING_X[x] | _LEAVING_Z[z]
    near = (sites.ends & leaves) | ((sites.rims != 0) & (leaves != 0))
    # A cell that is not its part's block may lie in another chunk than that.
    near[sites.blocks :] = 1
    return np.flatnonzero(near != 0)


def _offsets_of(axis: int) -> tuple[Sequence[Offset], ...]:
    """Return where rims about an axis aim at, for each of the placements."""
    diagonal = diagonal_offsets(axis)
    crossed = sorted({offset for offset, _, _ in crossed_offsets(axis)})
    return beside_offsets(axis), diagonal, diagonal, crossed


def _offsets(parts: Parts, ports: Ports) -> Iterator[_Aim]:
    for number in sorted(set(ports.kinds.type.tolist())):
        entry = parts.catalogues.types[number]
        rows = np.flatnonzero(parts.type == number) if entry.meets else np.empty(0, np.int64)
        for meeting in entry.meets:
            towards = parts.xyz[rows] + POSE_MATRIX[parts.pose[rows]] @ np.array(
                meeting.at, np.int64
            )
            out, towards = _Aims(parts, rows, towards).leaving(np.arange(len(rows)), (0, 0, 0))
            yield rows[out], np.full(len(out), Port.OFFSET), towards


class _Aims:
    """Cells of some parts, and where in the chunk of their part they lie."""

    def __init__(
        self, parts: Parts, part: npt.NDArray[np.int64], xyz: npt.NDArray[np.integer[Any]]
    ) -> None:
        self._xyz = xyz.astype(np.int64)
        # A catalogue's cells lie near, so that 16 bits hold them.
        self._x, self._z = (
            (self._xyz[:, axis] - (parts.xyz[part, axis] & ~15)).astype(np.int16) for axis in (0, 2)
        )

    def leaving(
        self, cells: npt.NDArray[np.int64], offset: Offset
    ) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        """Return which of some cells lead out of the chunk by an offset, and where each leads."""
        x, _, z = offset
        out = cells[((self._x[cells] + x) | (self._z[cells] + z)) & ~15 != 0]
        return out, self._xyz[out] + np.array(offset)
