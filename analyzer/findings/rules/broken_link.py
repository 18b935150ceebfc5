"""Broken link: parts keep the position of a partner that they cannot be linked with."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from analyzer.base.policy import Level
from analyzer.couplings.couplings import Break
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.grouping import blocks_of, iter_by_network
from analyzer.findings.make import network_finding

NAME: Final = "broken-link"


def find_broken_links(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each network with such links; it names the reasons.

    A partner in a chunk that was not read is a cut and no broken link, so a cut changes nothing.
    """
    broken = case.couplings.broken
    for network, places in iter_by_network(case, broken.part):
        reasons = Counter(str(Break(reason)) for reason in broken.reason[places].tolist())
        yield network_finding(
            case,
            NAME,
            level,
            network,
            blocks_of(case, broken.part[places]),
            count=len(places),
            names=sorted(reasons.items()),
        )
