"""Not understood: blocks of a type whose properties the catalogue does not cover."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

NAME: Final = "not-understood"


def find_not_understood(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each dimension and block name with such blocks, at the first ones."""
    places: defaultdict[tuple[str, str], list[Block]] = defaultdict(list)
    for one in case.parts.rejected:
        if one.reason == "not-understood":
            dimension = case.parts.dimensions[one.dimension]
            places[dimension, one.block.partition("[")[0]].append(one.at)
    for (dimension, block), blocks in sorted(places.items()):
        first, *more = sorted(blocks)[: case.policy.worst_places]
        yield save_finding(
            NAME,
            level,
            dimension=dimension,
            count=len(blocks),
            at=first,
            also=more,
            names=[(block, len(blocks))],
            subject=block,
        )
