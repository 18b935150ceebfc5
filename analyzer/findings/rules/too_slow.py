"""Too slow: machines turn slower than they need to, or would once the network turns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding

NAME: Final = "too-slow"


def find_too_slow(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network with a machine below its least speed.

    The machine that gets the smallest share of its least speed comes first; one in a zone at rest
    gets none. The least speed itself is enough. A faster mover may lie beyond a cut.
    """
    least = case.parts.column(Field.LEAST_RPM)
    machines = np.flatnonzero((least >= 0) & (case.solution.speed >= 0))
    pairs, pair = unique_rows(case.solution.speed[machines], least[machines])
    both = [
        (abs(case.solution.speeds[speed]), case.parts.numbers[needed])
        for speed, needed in pairs.tolist()
    ]
    worst = sorted(
        {(rpm / needed, rpm, needed) for rpm, needed in both if rpm < needed},
        key=lambda row: (row[0], -row[2]),
    )
    place = {(rpm, needed): number for number, (_, rpm, needed) in enumerate(worst)}
    rank = np.array([place.get(row, -1) for row in both], np.int64)[pair]
    machines, rank = machines[rank >= 0], rank[rank >= 0]
    for network, places in iter_by_network(case, machines, rank):
        _, rpm, needed = worst[int(rank[places[0]])]
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, machines[places]),
            count=len(places),
            in_cut="note",
            measured=rpm,
            limit=needed,
            unit="rpm",
        )
