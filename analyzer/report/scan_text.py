"""What was read of a save, for people."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.report.clean import shown
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.quantities import counted
from analyzer.save.scan.scan import Coverage, Fault, SaveFacts, SlotStatus

#: Most faults that are listed.
_MOST_FAULTS: Final = 20
#: Statuses of slots that hold a chunk, in the order in which they are told.
_TOLD: Final = (
    (SlotStatus.READ, "read"),
    (SlotStatus.SIFTED, "sifted"),
    (SlotStatus.UNFINISHED, "unfinished"),
    (SlotStatus.OLD, "old (before 1.13)"),
    (SlotStatus.UNREADABLE, "unreadable"),
    (SlotStatus.UNSTABLE, "unstable"),
)


def iter_scan_summary(facts: SaveFacts, coverage: Coverage) -> Iterator[str]:
    """Yield the lines of a summary about the save's files and chunks."""
    yield from labelled("data", _versions(facts))
    if coverage.whole:
        yield from labelled("templates", f"{len(coverage.whole):,} read; positions are their own")
    else:
        yield from _chunks(coverage)
    yield from _notes(facts)


def _chunks(coverage: Coverage) -> Iterator[str]:
    counts = coverage.counts()
    chunks = [f"{counts[status]:,} {text}" for status, text in _TOLD if counts[status]]
    regions = counted(len(coverage.regions), "region file")
    yield from labelled("chunks", f"{', '.join(chunks) or 'none'}, in {regions}")


def _notes(facts: SaveFacts) -> Iterator[str]:
    if facts.passed_over:
        folders = ", ".join(map(shown, facts.passed_over))
        yield from labelled("passed over", f"{folders}: not read")
    if facts.several_palettes:
        names = ", ".join(map(shown, facts.several_palettes))
        yield from labelled("note", f"of the palettes of {names} only the first was read")
    if facts.open_elsewhere:
        yield from labelled(
            "note",
            "another program holds this save open: what it has not written yet is not seen, and "
            "chunks may change while they are read",
        )


def iter_unread(coverage: Coverage) -> Iterator[str]:
    """Yield a section on what could not be read; nothing where everything could."""
    if not coverage.faults:
        return
    yield "\n"
    yield from heading("Not read", "=")
    for fault in coverage.faults[:_MOST_FAULTS]:
        yield from paragraph(_fault(fault), first="  ", rest="    ")
    left = len(coverage.faults) - _MOST_FAULTS
    if left > 0:
        yield f"  ... and {left:,} more. All of them: --format json\n"


def _fault(fault: Fault) -> str:
    chunk = "" if fault.chunk is None else f", chunk {fault.chunk.cx} {fault.chunk.cz}"
    offset = "" if fault.offset is None else f", byte {fault.offset:,}"
    return f"{shown(fault.file)}{chunk}{offset}: {fault.reason}, {shown(fault.detail)}"


def _versions(facts: SaveFacts) -> str:
    versions = facts.data_versions
    if not versions:
        return "no version seen; sifted chunks need not show one"
    if len(versions) == 1:
        return f"version {versions[0]}"
    return f"versions {versions[0]} to {versions[-1]} ({len(versions)} of them)"
