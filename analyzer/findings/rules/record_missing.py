"""Record missing: blocks of a type that needs a block entity, and that have none."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

import numpy as np

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

NAME: Final = "record-missing"


def find_missing_records(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding for each dimension and block name with such blocks, at the first ones.

    Only chunks that were read whole can show them; of a sifted one it is not known. A block that
    `only` leaves out, such as the other half of a part of two blocks, is none of them.
    """
    bare = case.scan.bare
    states = case.scan.candidates.states
    only = {kind.block: kind.only for kind in case.parts.catalogues.types}
    left_out = [
        any(
            state.values.get(name, values[0]) not in values
            for name, values in only.get(state.name, ())
        )
        for state in states
    ]
    rows: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    for row, (dimension, state) in enumerate(
        zip(bare.dimension.tolist(), bare.state.tolist(), strict=True)
    ):
        if not left_out[state]:
            rows[case.scan.dimensions[dimension], states[state].name].append(row)
    for (dimension, block), here in sorted(rows.items()):
        named = np.array(here[: case.policy.worst_places])
        first, *more = (Block(*xyz) for xyz in bare.xyz[named].tolist())
        yield save_finding(
            NAME,
            level,
            dimension=dimension,
            count=len(here),
            at=first,
            also=more,
            names=[(block, len(here))],
            subject=block,
        )
