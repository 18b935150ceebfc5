"""Unread chunks: something in a save could not be read, so it was not judged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

NAME: Final = "unread-chunks"


def find_unread_chunks(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each dimension with a chunk or file that could not be read.

    It counts both and names the reasons; its places are where the first such chunks begin. Files
    outside every dimension are found together, under the save as a whole.
    """
    faults = case.scan.coverage.faults
    for dimension in sorted({fault.dimension for fault in faults}):
        here = [fault for fault in faults if fault.dimension == dimension]
        chunks = sorted({fault.chunk for fault in here if fault.chunk is not None})
        yield save_finding(
            NAME,
            level,
            dimension=dimension,
            count=len(here),
            also=[Block(16 * cx, 0, 16 * cz) for cx, cz in chunks[: case.policy.worst_places]],
            names=sorted(Counter(fault.reason for fault in here).items()),
        )
