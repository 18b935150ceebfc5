"""Find the ports that aim into something not read, where a coupling may be missing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import POSE_MATRIX, UNITS
from analyzer.base.placements import beside_offsets, crossed_offsets, diagonal_offsets
from analyzer.base.tables import frozen, unique_rows
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
    aims = [*_ends(ports), *_rims(ports), *_offsets(parts)]
    found = [
        (rows[out], port[out], towards[out])
        for rows, port, towards in aims
        if (out := _leaves_chunk(parts, rows, towards)).any()
    ]
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
    rows, _ = unique_rows(part[unseen], port[unseen], *towards[unseen].T, status[unseen])
    return Cuts(
        part=frozen(rows[:, 0].astype(np.int32)),
        port=frozen(rows[:, 1].astype(np.int8)),
        towards=frozen(rows[:, 2:5].copy()),
        status=frozen(rows[:, 5].astype(np.uint8)),
    )


def _ends(ports: Ports) -> Iterator[_Aim]:
    for face, ends in enumerate(ports.ends):
        yield ends.part, ends.side, ends.xyz + UNITS[face]


def _rims(ports: Ports) -> Iterator[_Aim]:
    for axis in range(3):
        offsets_of = {
            "beside": beside_offsets(axis),
            "diagonal": diagonal_offsets(axis),
            "crossed": tuple(sorted({offset for offset, _, _ in crossed_offsets(axis)})),
        }
        for (_, name), bit in PLACEMENT_BITS.items():
            rows = np.flatnonzero((ports.axis == axis) & (ports.placements & bit != 0))
            port = np.full(len(rows), Port.RIM)
            for offset in np.array(offsets_of[name]):
                yield rows, port, ports.rim_xyz[rows] + offset


def _offsets(parts: Parts) -> Iterator[_Aim]:
    for number, entry in enumerate(parts.catalogues.types):
        rows = np.flatnonzero(parts.type == number) if entry.meets else np.empty(0, np.int64)
        port = np.full(len(rows), Port.OFFSET)
        for meeting in entry.meets:
            offset = POSE_MATRIX[parts.pose[rows]] @ np.array(meeting.at, np.int64)
            yield rows, port, parts.xyz[rows] + offset


def _leaves_chunk(
    parts: Parts, rows: npt.NDArray[np.int64], towards: npt.NDArray[np.int64]
) -> npt.NDArray[np.bool_]:
    leaves: npt.NDArray[np.bool_] = ((parts.xyz[rows][:, ::2] >> 4) != (towards[:, ::2] >> 4)).any(
        axis=1
    )
    return leaves
