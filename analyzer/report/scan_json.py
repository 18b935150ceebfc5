"""What every JSON document says about the program, the save and what was read of it."""

from __future__ import annotations

from typing import Any

from analyzer.report.version import VERSION
from analyzer.save.scan.scan import Coverage, SaveFacts


def tool() -> dict[str, str]:
    """Return the name and version of the program."""
    return {"name": "lineshaft", "version": VERSION}


def save_facts(facts: SaveFacts) -> dict[str, Any]:
    """Return the facts of a save as a whole."""
    return {
        "title": facts.title,
        "data_versions": list(facts.data_versions),
        "open_elsewhere": facts.open_elsewhere,
        "passed_over": list(facts.passed_over),
        "several_palettes": list(facts.several_palettes),
    }


def chunk_counts(coverage: Coverage) -> dict[str, int]:
    """Return how many slots of the region files ended with each status."""
    return {status.name.lower(): count for status, count in coverage.counts().items()}


def unread(coverage: Coverage) -> list[dict[str, Any]]:
    """Return what could not be read, by place; empty where everything could."""
    return [
        {
            "dimension": fault.dimension or None,
            "file": fault.file,
            "chunk": None if fault.chunk is None else list(fault.chunk),
            "reason": fault.reason,
            "detail": fault.detail,
            "offset": fault.offset,
        }
        for fault in coverage.faults
    ]
