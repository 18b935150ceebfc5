"""What was read of a save, what was not, and why."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.page.markup import Markup, element
from analyzer.report.page.tables import items, section, table
from analyzer.report.quantities import counted, listed, place
from analyzer.save.scan.scan import Fault, SlotStatus

#: Most rows of one table; all of them are in the JSON report.
_MOST: Final = 200
#: Most names that one line lists.
_MOST_NAMES: Final = 24
#: What each status of a slot means, in the order in which they are told.
_MEANING: Final = (
    (SlotStatus.READ, "read whole"),
    (SlotStatus.SIFTED, "holds no block entity of the catalogues; the rest was not unpacked"),
    (SlotStatus.UNFINISHED, "not finished by the game; not judged"),
    (SlotStatus.OLD, "from before 1.13; not judged"),
    (SlotStatus.UNREADABLE, "could not be read; listed here"),
    (SlotStatus.UNSTABLE, "written by another program each time it was read; listed here"),
    (SlotStatus.ABSENT, "never made, or removed"),
)


def coverage_section(audit: Audit) -> Markup:
    """Return the section."""
    return section("coverage", "Read and not read", *_told(audit))


def _told(audit: Audit) -> Iterator[str]:
    coverage = audit.scan.coverage
    if coverage.whole:
        told = counted(len(coverage.whole), "structure template")
        yield element("p", f"{told} read; positions are the templates' own.")
    else:
        counts = coverage.counts()
        yield table(
            f"Chunks of {counted(len(coverage.regions), 'region file')}",
            ("chunks", "status", "meaning"),
            (
                (f"{counts[status]:,}", status.name.lower(), meaning)
                for status, meaning in _MEANING
                if counts[status]
            ),
            numbers="n",
        )
    faults = coverage.faults
    if faults:
        more = f", the first {_MOST}" if len(faults) > _MOST else ""
        yield table(
            f"Not read: {counted(len(faults), 'place')}{more}",
            ("dimension", "file", "chunk", "byte", "reason", "what was found"),
            map(_fault, faults[:_MOST]),
            numbers="  nn",
        )
    else:
        yield element("p", "Nothing that was asked for was unreadable.")
    yield from _notes(audit)
    yield from _leftovers(audit)


def _fault(fault: Fault) -> tuple[str, ...]:
    return (
        fault.dimension or "",
        fault.file,
        "" if fault.chunk is None else f"{fault.chunk.cx} {fault.chunk.cz}",
        "" if fault.offset is None else f"{fault.offset:,}",
        fault.reason,
        fault.detail,
    )


def _notes(audit: Audit) -> Iterator[str]:
    facts, left = audit.scan.facts, audit.scan.leftovers
    notes = []
    if facts.open_elsewhere:
        notes.append(
            "Another program holds this save open: what it has not written yet is not seen, and "
            "chunks may have changed while they were read."
        )
    if audit.taken_while_running:
        taken = counted(len(audit.taken_while_running), "network")
        notes.append(
            f"{taken} taken while running: another program wrote chunks of theirs during the scan."
        )
    if facts.passed_over:
        notes.append(f"Passed over, not read: {', '.join(map(shown, facts.passed_over))}.")
    if facts.several_palettes:
        names = ", ".join(map(shown, facts.several_palettes))
        notes.append(f"Of several palettes only the first was read: {names}.")
    if left.unknown:
        names = listed({shown(name): count for name, count in left.unknown}, most=_MOST_NAMES)
        notes.append(f"Block entities that no catalogue knows: {names}.")
    if notes:
        yield items(notes)


def _leftovers(audit: Audit) -> Iterator[str]:
    """Yield what a catalogue names and was yet not used."""
    parts = audit.parts
    rows = [
        (one.reason, one.block, parts.dimensions[one.dimension], place(one.at), one.detail)
        for one in parts.rejected
    ] + [
        (
            "unusable-number",
            str(parts.states[int(parts.state[one.part])]),
            parts.dimensions[int(parts.dimension[one.part])],
            place(parts.block_at(one.part)),
            f"{one.field.name.lower()}, stored at {one.path}, is {one.found}",
        )
        for one in parts.unusable
    ]
    if rows:
        more = f", the first {_MOST}" if len(rows) > _MOST else ""
        yield table(
            f"In a catalogue, and yet not used: {counted(len(rows), 'block')}{more}",
            ("reason", "block", "dimension", "at", "detail"),
            rows[:_MOST],
            numbers="   n",
        )
