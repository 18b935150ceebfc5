"""Reading the findings of a former report."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from analyzer.base.errors import UsageError
from analyzer.base.place import Block
from analyzer.report.audit_json import SCHEMA_VERSION
from analyzer.report.baseline import FormerFinding

_REMEDY: Final = "Give a report that audit --format json wrote."


def load_baseline(path: Path) -> tuple[FormerFinding, ...]:
    """Return the findings of a report that ``audit --format json`` wrote, in its order.

    Findings that were set aside there are not among them, so that one whose ignore has ended is
    new.

    Raises
    ------
    UsageError
        Where the file cannot be read, or is no such report.
    """
    document = _read(path)
    findings = document.get("findings") if isinstance(document, dict) else None
    if not isinstance(document, dict) or not isinstance(findings, list):
        raise UsageError(f"{path}: is not the report of an audit. {_REMEDY}")
    version = document.get("schema_version")
    if version != SCHEMA_VERSION:
        raise UsageError(
            f"{path}: has schema version {str(version)[:20]}, where {SCHEMA_VERSION} is "
            "understood. Write the report anew with this version of the program."
        )
    try:
        return tuple(map(_former, findings))
    except (KeyError, TypeError, ValueError) as error:
        raise UsageError(f"{path}: a finding in it is not as it was written. {_REMEDY}") from error


def _read(path: Path) -> Any:
    try:
        return json.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        reason = error.strerror or str(error)
        raise UsageError(f"{path}: cannot be read: {reason}. {_REMEDY}") from error
    except (ValueError, RecursionError) as error:
        raise UsageError(f"{path}: is not JSON. {_REMEDY}") from error


def _former(entry: Any) -> FormerFinding:
    at = entry["at"]
    return FormerFinding(
        fingerprint=_text(entry["fingerprint"]),
        rule=_text(entry["rule"]),
        level=_text(entry["level"]),
        dimension=None if entry["dimension"] is None else _text(entry["dimension"]),
        network=None if entry["network"] is None else _text(entry["network"]),
        at=None if at is None else _block(at),
        message=_text(entry["message"]),
        elsewhere=_text(entry.get("certain", "yes")).startswith("in another switch state"),
    )


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("not a text")
    return value


def _block(value: Any) -> Block:
    x, y, z = value
    if not all(isinstance(one, int) and abs(one) < 2**31 for one in (x, y, z)):
        raise TypeError("not a position")
    return Block(x, y, z)
