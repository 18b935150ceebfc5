"""Over-speed: parts of a network turn faster than their limit, or would once it turns."""

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
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding

NAME: Final = "over-speed"


def find_over_speeds(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network with a part above its limit, the fastest first.

    The limit itself is allowed. A mover beyond a cut could change the speed, so there it is one
    level lower.
    """
    part, rank, worst = _too_fast(case)
    for network, places in iter_by_network(case, part, rank):
        speed, limit = worst[int(rank[places[0]])]
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, part[places]),
            count=len(places),
            in_cut="lower",
            measured=speed,
            limit=limit,
            unit="rpm",
        )


def _too_fast(
    case: Case,
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64], list[tuple[Fraction, Fraction]]]:
    """Return the parts above their limit, the rank of each, and (|rpm|, limit) by rank.

    Rank 0 is the fastest; of equal speeds, the one with the lowest limit.
    """
    judged = case.selected[case.networks.network] & (case.solution.speed >= 0)
    parts = np.flatnonzero(judged)
    pairs, pair = unique_rows(case.solution.speed[parts], case.parts.type[parts])
    limits = _limits(case)
    above: dict[int, tuple[Fraction, Fraction]] = {}
    for number, (speed, kind) in enumerate(pairs.tolist()):
        rpm, limit = abs(case.solution.speeds[speed]), limits[kind]
        if limit is not None and rpm > limit:
            above[number] = (rpm, limit)
    worst = sorted(set(above.values()), key=lambda row: (-row[0], row[1]))
    rank_of = {row: place for place, row in enumerate(worst)}
    rank = np.full(len(pairs), -1, np.int64)
    for number, row in above.items():
        rank[number] = rank_of[row]
    ranks = rank[pair]
    return parts[ranks >= 0], ranks[ranks >= 0], worst


def _limits(case: Case) -> list[Fraction | None]:
    """Return the limit of each type: the user's, else the catalogue's."""
    of_all = case.policy.speed_limit_rpm
    types = case.parts.catalogues.types
    return [kind.speed_limit_rpm if of_all is None else of_all for kind in types]
