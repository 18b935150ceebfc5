"""Looking up what stands at a position, so that a report can say so."""

from __future__ import annotations

import numpy as np

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.parts.parts import Parts


def part_at(parts: Parts, dimension: str, at: Block) -> int | None:
    """Return the number of the part at a position, or None where there is no part."""
    if dimension not in parts.dimensions:
        return None
    # Parts are sorted by dimension and position: each column narrows the rows further.
    low, high = 0, len(parts)
    keys = (
        (parts.dimension, parts.dimensions.index(dimension)),
        *zip(parts.xyz.T, at, strict=True),
    )
    for column, value in keys:
        first, last = np.searchsorted(column[low:high], [value, value + 1])
        low, high = low + int(first), low + int(last)
    return low if low < high else None


def block_name_at(parts: Parts, dimension: str, at: Block) -> str | None:
    """Return the block name of the part at a position, or None where there is no part."""
    part = part_at(parts, dimension, at)
    return None if part is None else parts.catalogues.types[int(parts.type[part])].block


def is_template(audit: Audit, dimension: str) -> bool:
    """Tell whether a dimension is a structure template, whose positions are its own."""
    dimensions = audit.scan.dimensions
    return dimension in dimensions and dimensions.index(dimension) in audit.scan.coverage.whole
