"""Heavy network: a network so large that it may burden whatever runs the world."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
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
    chunks, chunk = _chunks(case)
    sizes = np.stack(
        [
            np.diff(case.networks.start),
            np.bincount(chunks[:, 0], minlength=len(case.networks)),
            np.bincount(case.networks.network[_switches(case)], minlength=len(case.networks)),
        ],
        axis=1,
    )
    _, first_part, crowds = np.unique(chunk, return_index=True, return_counts=True)
    for network in np.flatnonzero(case.selected & (sizes > limits).any(axis=1)).tolist():
        size, limit = sizes[network].tolist(), limits[network].tolist()
        above = [number for number in range(len(HEAVY)) if size[number] > limit[number]]
        worst = max(above, key=lambda number: (size[number] / max(limit[number], 1), -number))
        first, last = np.searchsorted(chunks[:, 0], [network, network + 1])
        crowded = first + np.argsort(-crowds[first:last], kind="stable")
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, first_part[crowded]),
            count=size[HEAVY.index("chunks")],
            measured=Fraction(size[worst]),
            limit=Fraction(limit[worst]),
            unit=HEAVY[worst],
            names=[(HEAVY[number], size[number]) for number in above],
        )


def _chunks(case: Case) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Return the chunks of each network as (network, cx, cz), and the number of each part's."""
    xyz = case.parts.xyz
    return unique_rows(case.networks.network, xyz[:, 0] >> 4, xyz[:, 2] >> 4)


def _switches(case: Case) -> npt.NDArray[np.bool_]:
    switches: npt.NDArray[np.bool_] = case.parts.switch_states() >= 0
    return switches
