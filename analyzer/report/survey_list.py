"""Every block entity of an inventory as a CSV table: docs/output.md, Survey list."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.report.clean import cell
from analyzer.report.tables import iter_csv
from analyzer.save.inventory.inventory import Inventory

#: The columns, in order.
COLUMNS: Final = ("dimension", "x", "y", "z", "id", "block", "properties")


def iter_survey_list(inventory: Inventory) -> Iterator[str]:
    """Yield the table in pieces, by dimension, position and id; without rows, the header alone.

    Properties are written ``name=value``, sorted by name, with semicolons between them. A block
    entity outside its chunk has no block.
    """
    yield from iter_csv(COLUMNS, _iter_rows(inventory))


def _iter_rows(inventory: Inventory) -> Iterator[tuple[str, ...]]:
    dimensions = [cell(name) for name in inventory.dimensions]
    blocks = [
        (cell(state.name), cell(";".join(f"{name}={value}" for name, value in state.properties)))
        for state in inventory.states
    ]
    for row in inventory.rows:
        block = blocks[row.state] if row.state >= 0 else ("", "")
        yield (dimensions[row.dimension], *map(str, row.at), cell(row.id), *block)
