"""The audits of many saves for people: one line a save, then the report of each."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final, TextIO

from analyzer.base.policy import Level
from analyzer.report.audit_text import iter_audit_text
from analyzer.report.clean import shown
from analyzer.report.fleet import FleetEntry
from analyzer.report.layout import columns, heading
from analyzer.report.quantities import counted

_HEADER: Final = (
    "verdict",
    "errors",
    "warnings",
    "notes",
    "parts",
    "networks",
    "not read",
    "save",
)
_VERDICTS: Final = {0: "passes", 1: "fails", 2: "not opened", 3: "not all read"}
# What a page of text is read back by from the disk.
_PIECE: Final = 1 << 16


def iter_fleet_text(entries: Iterable[FleetEntry]) -> Iterator[str]:
    """Yield the report in pieces.

    Parameters
    ----------
    entries
        The saves, taken one by one: what is said of each waits in a temporary file, so that no two
        audits need be held.
    """
    rows: list[tuple[str, ...]] = []
    statuses: Counter[int] = Counter()
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="backslashreplace", newline="") as (
        reports
    ):
        for entry in entries:
            rows.append(_row(entry))
            statuses[entry.exit_status] += 1
            _write_report(entry, reports)
            del entry
        yield from heading(_title(statuses), "=")
        yield from columns([_HEADER, *rows], right="lrrrrrrl")
        reports.seek(0)
        while piece := reports.read(_PIECE):
            yield piece


def _title(statuses: Counter[int]) -> str:
    told = [f"{statuses[one]:,} {_VERDICTS[one]}" for one in (0, 1, 3, 2) if statuses[one]]
    return f"Audit of {counted(statuses.total(), 'save')}: {', '.join(told)}"


def _row(entry: FleetEntry) -> tuple[str, ...]:
    audit = entry.audit
    verdict, name = _VERDICTS[entry.exit_status], shown(entry.name)
    if audit is None:
        why = "" if entry.not_opened is None else f": {shown(entry.not_opened.detail)}"
        return (verdict, *("-" * 6), f"{name}{why}")
    levels = Counter(finding.level for finding in audit.findings.items)
    counts: Sequence[int] = (
        levels[Level.ERROR],
        levels[Level.WARNING],
        levels[Level.NOTE],
        len(audit.parts),
        len(audit.networks),
        len(audit.scan.coverage.faults),
    )
    return (verdict, *(f"{count:,}" for count in counts), name)


def _write_report(entry: FleetEntry, reports: TextIO) -> None:
    if entry.audit is not None:
        reports.write("\n\n")
        reports.writelines(iter_audit_text(entry.audit, save=entry.save, title=entry.name))
