"""A position without a part, for people: what is there, and which part is nearest."""

from __future__ import annotations

from collections.abc import Iterator

from analyzer.findings.audit import Audit
from analyzer.findings.explain.explanation import Vacancy
from analyzer.report.clean import shown
from analyzer.report.explain_wording import blocks_away, named
from analyzer.report.finding_text import teleport
from analyzer.report.layout import heading, labelled, paragraph
from analyzer.report.quantities import place
from analyzer.save.chunk.slot_status import SlotStatus

_NOT_READ = {
    SlotStatus.ABSENT: "nothing is stored there: its chunk was never made",
    SlotStatus.UNFINISHED: "unknown: the world's generator has not finished its chunk",
    SlotStatus.OLD: "unknown: its chunk was saved before 1.13",
    SlotStatus.UNREADABLE: "unknown: its chunk cannot be read",
    SlotStatus.UNSTABLE: "unknown: another program is writing its chunk",
}


def iter_vacancy(audit: Audit, told: Vacancy) -> Iterator[str]:
    """Yield the report in pieces that end with a line."""
    yield from heading(f"No part at {place(told.at)}", "=")
    yield from labelled("dimension", shown(told.dimension))
    yield from labelled("there", _there(told))
    if told.there.entity is not None:
        yield from labelled("data of", shown(told.there.entity))
    if told.rejected is not None:
        yield from labelled("no part", shown(told.rejected[1]))
    if not audit.parts.catalogues.sources:
        yield from paragraph(
            "No catalogue says what the blocks do, so no part is known: name one with --catalogue."
        )
        return
    if told.nearest is None:
        yield from paragraph("There is no part in this dimension.")
        return
    near = f"{named(audit, told.nearest)}, {blocks_away(told.squared)}"
    yield from labelled("nearest", near)
    way = teleport(audit, told.dimension, place(audit.parts.block_at(told.nearest)))
    if way is not None:
        yield f"{'':12}{way}\n"


def _there(told: Vacancy) -> str:
    there = told.there
    if there.block is not None:
        return shown(str(there.block))
    text = _NOT_READ[there.status]
    return text if there.fault is None else f"{text} ({there.fault.detail})"
