"""The findings of many saves as a CSV table: docs/output.md, Many saves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from analyzer.report.clean import cell
from analyzer.report.findings_csv import COLUMNS, finding_row
from analyzer.report.fleet import FleetEntry
from analyzer.report.tables import iter_csv

#: The columns, in order.
FLEET_COLUMNS: Final = ("save", *COLUMNS)


def iter_fleet_csv(entries: Iterable[FleetEntry]) -> Iterator[str]:
    """Yield the table in pieces, save by save; a save that was not opened has no row."""
    yield from iter_csv(FLEET_COLUMNS, _iter_rows(entries))


def _iter_rows(entries: Iterable[FleetEntry]) -> Iterator[tuple[str, ...]]:
    for entry in entries:
        if entry.audit is not None:
            for finding in entry.audit.findings.items:
                yield (cell(entry.name), *finding_row(entry.audit, finding))
                del finding
        del entry
