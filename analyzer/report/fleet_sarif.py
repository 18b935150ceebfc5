"""The audits of many saves in SARIF 2.1.0: one run a save."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from analyzer.report.audit_sarif import DOCUMENT_END, DOCUMENT_START, sarif_driver, sarif_run
from analyzer.report.clean import shown
from analyzer.report.fleet import FleetEntry
from analyzer.report.json_text import iter_json
from analyzer.report.sarif_places import message_of


def iter_fleet_sarif(entries: Iterable[FleetEntry]) -> Iterator[str]:
    """Yield the document in pieces, its runs in the order of the saves.

    A save that was not opened has a run without results, which says that it did not succeed.
    """
    yield DOCUMENT_START
    opening = ""
    for entry in entries:
        yield opening
        yield from iter_json(_run(entry))
        opening = ",\n"
        del entry
    yield DOCUMENT_END


def _run(entry: FleetEntry) -> dict[str, Any]:
    # Runs of one tool in one file are told apart by it (SARIF 2.1.0, 3.17).
    details = {"automationDetails": {"id": shown(entry.name)}}
    if entry.audit is not None:
        return sarif_run(entry.audit) | details
    assert entry.not_opened is not None, f"{entry.name} was not audited for a reason"
    why = entry.not_opened
    notification = {
        "descriptor": {"id": why.reason},
        "level": "error",
        "message": message_of(f"Not audited: {why.detail}."),
    }
    return {
        "tool": {"driver": sarif_driver()},
        "invocations": [
            {"executionSuccessful": False, "toolExecutionNotifications": [notification]}
        ],
        "properties": {"title": shown(entry.name)},
        **details,
    }
