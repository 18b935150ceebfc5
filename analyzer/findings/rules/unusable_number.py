"""Unusable number: parts keep numbers that cannot be used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding

NAME: Final = "unusable-number"


def find_unusable_numbers(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network with such numbers; it names the paths in their data.

    It counts the numbers. Its places are the parts, in order of position.
    """
    unusable = case.parts.unusable
    parts = np.array([number.part for number in unusable], np.int64)
    for network, places in iter_by_network(case, parts):
        paths = Counter(unusable[place].path for place in places.tolist())
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, np.unique(parts[places])),
            count=len(places),
            names=sorted(paths.items()),
        )
