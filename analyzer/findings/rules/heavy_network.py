"""Heavy network: a network so large that it may burden whatever runs the world."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Level
from analyzer.base.tables import count_rows, unique_rows
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of
from analyzer.findings.make import network_finding
from analyzer.findings.thresholds import HEAVY, heavy_limits

NAME: Final = "heavy-network"


def find_heavy_networks(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network above a limit of parts, chunks or switches.

    It names what is above its limit, with the count; measured is the one farthest above, as a
    share of its limit. Its places are the first part in each of the most crowded chunks, and it
    counts the chunks. More parts can only make it heavier, so a cut changes nothing.
    """
    if not len(case.parts):
        return
    limits = heavy_limits(case)
    networks, chunks = case.networks, _chunks(case)
    sizes = np.stack(
        [
            np.diff(networks.start),
            count_rows(len(networks), *chunks),
            np.bincount(networks.network[_switches(case)], minlength=len(networks)),
        ],
        axis=1,
    )
    for network in np.flatnonzero(case.selected & (sizes > limits).any(axis=1)).tolist():
        size, limit = sizes[network].tolist(), limits[network].tolist()
        above = [number for number in range(len(HEAVY)) if size[number] > limit[number]]
        worst = max(above, key=lambda number: (size[number] / max(limit[number], 1), -number))
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, _crowded(case, network)),
            count=size[HEAVY.index("chunks")],
            measured=Fraction(size[worst]),
            limit=Fraction(limit[worst]),
            unit=HEAVY[worst],
            names=[(HEAVY[number], size[number]) for number in above],
        )


def _chunks(
    case: Case,
) -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int32], npt.NDArray[np.int32]]:
    """Return the network of each part, and cx and cz of the chunk that it stands in."""
    xyz = case.parts.xyz
    return case.networks.network, xyz[:, 0] >> 4, xyz[:, 2] >> 4


def _crowded(case: Case, network: int) -> npt.NDArray[np.int32]:
    """Return the first part of a network in each of its chunks, the most crowded chunk first."""
    members = case.networks.members(network)
    xyz = case.parts.xyz[members]
    _, chunk = unique_rows(xyz[:, 0] >> 4, xyz[:, 2] >> 4)
    _, first, crowd = np.unique(chunk, return_index=True, return_counts=True)
    crowded: npt.NDArray[np.int32] = members[first[np.argsort(-crowd, kind="stable")]]
    return crowded


def _switches(case: Case) -> npt.NDArray[np.bool_]:
    switches: npt.NDArray[np.bool_] = case.parts.switch_states() >= 0
    return switches
