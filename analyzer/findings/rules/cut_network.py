"""Cut network: parts point into chunks that were not read, so a network may go on there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.base.tables import unique_rows
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding
from analyzer.save.scan.scan import SlotStatus

NAME: Final = "cut-network"


def find_cut_networks(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network with a part that aims at a block not read.

    It counts those blocks, a part's each once, and names what became of their chunks. Where all of
    these were never generated, so that nothing stands there yet, it is a note. Parts that aim at
    a chunk that is there come first.
    """
    cuts = case.couplings.cuts
    aims, _ = unique_rows(cuts.part, *cuts.towards.T, cuts.status)
    part, absent = aims[:, 0], aims[:, 4] == SlotStatus.ABSENT
    for network, places in iter_by_network(case, part, absent.astype(np.int64)):
        statuses = Counter(SlotStatus(status).name.lower() for status in aims[places, 4].tolist())
        parts = part[places]
        _, first = np.unique(parts, return_index=True)
        yield network_finding(
            case,
            NAME,
            min(level, Level.NOTE) if absent[places].all() else level,
            network,
            blocks_of(case, parts[np.sort(first)]),
            count=len(places),
            names=sorted(statuses.items()),
        )
