"""Nothing known: a save holds other block entities than the game's own, yet no part was found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from analyzer.base.block import HOST_NAMESPACE, namespace_of
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

NAME: Final = "nothing-known"


def find_nothing_known(case: Case, level: Level) -> Iterator[Finding]:
    """Yield a finding that names the namespaces nothing knows, if there is no part at all."""
    if len(case.parts):
        return
    counts: Counter[str] = Counter()
    for entity, count in case.scan.leftovers.unknown:
        counts[namespace_of(entity)] += count
    # None of the host game's own blocks is part of a drive.
    del counts[HOST_NAMESPACE]
    if counts:
        names = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
        yield save_finding(NAME, level, count=sum(counts.values()), names=names)
