"""The audits of many saves for machines: the JSON document of docs/output.md, Many saves."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any, Final

from analyzer.report.audit_json import iter_audit_json
from analyzer.report.fleet import FleetEntry
from analyzer.report.scan_json import tool

#: Grows with any change that a reader of the document could trip over.
SCHEMA_VERSION: Final = 1


def iter_fleet_json(entries: Iterable[FleetEntry]) -> Iterator[str]:
    """Yield the document in pieces; each audit in it is the document of that save alone.

    Parameters
    ----------
    entries
        The saves, taken one by one, so that no two audits need be held; none gives an empty list.
    """
    yield f'{{\n"schema_version": {SCHEMA_VERSION},\n"tool": {json.dumps(tool())},\n"saves": ['
    opening = "\n"
    for entry in entries:
        yield f"{opening}{json.dumps(_head(entry))[:-1]}, "
        yield '"audit": '
        if entry.audit is None:
            yield "null}"
        else:
            yield from iter_audit_json(entry.audit)
            yield "}"
        opening = ",\n"
        # Let go before the next is made; likewise in the other forms.
        del entry
    yield "\n]\n}\n"


def _head(entry: FleetEntry) -> dict[str, Any]:
    why = entry.not_opened
    return {
        "name": entry.name,
        "exit_status": entry.exit_status,
        "not_opened": None if why is None else {"reason": why.reason, "detail": why.detail},
    }
