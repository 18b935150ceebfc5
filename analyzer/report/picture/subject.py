"""What a picture shows: one network of an audit, with its parts list and its findings."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.drawing.looks import Look
from analyzer.report.drawing.make_sheet import make_sheet
from analyzer.report.drawing.sheet import Mark, Sheet
from analyzer.report.network_rows import NetworkRow, network_row
from analyzer.report.sentences import message

_ROLES = ("mover", "machine", "transmission")


@dataclass(frozen=True)
class Item:
    """One line of the parts list.

    Parameters
    ----------
    number
        Its number, written in movers and machines.
    look
        What the parts are.
    count
        How many there are.
    power
        What they give or ask for together; None where there is none or it is unknown.
    """

    number: int
    look: Look
    count: int
    power: Fraction | None


@dataclass(frozen=True, eq=False)
class Subject:
    """What a picture shows.

    Parameters
    ----------
    sheet
        The network's parts, couplings and marks.
    row
        Its state and budget.
    title, catalogues, unit
        The save's title, the catalogues with their versions, and the unit of power; safe to show.
    items
        The parts list: movers, machines, then what carries the turning, by name.
    findings
        The marks that are about it with what they say, the gravest first.
    """

    sheet: Sheet
    row: NetworkRow
    title: str
    catalogues: str
    unit: str
    items: tuple[Item, ...]
    findings: tuple[tuple[Mark, Finding, str], ...]

    def numbers(self) -> dict[Look, int]:
        """Return the number of each look in the parts list."""
        return {item.look: item.number for item in self.items}


def subject_of(audit: Audit, network: int) -> Subject:
    """Return what a picture of a network shows."""
    sheet = make_sheet(audit, [network])
    sources = audit.parts.catalogues.sources
    marks = [mark for mark in sheet.marks if mark.network == network]
    found = [(mark, audit.findings.items[mark.finding]) for mark in marks]
    found.sort(key=lambda pair: -pair[0].level)
    return Subject(
        sheet=sheet,
        row=network_row(audit, network),
        title=shown(audit.scan.facts.title),
        catalogues=", ".join(f"{shown(one.title)} {shown(one.version)}" for one in sources),
        unit=shown(audit.parts.catalogues.power_unit),
        items=_items(sheet),
        findings=tuple((mark, finding, message(audit, finding)) for mark, finding in found),
    )


def _items(sheet: Sheet) -> tuple[Item, ...]:
    counts: dict[int, int] = defaultdict(int)
    powers: dict[int, Fraction] = {}
    for look, power in zip(sheet.parts.look.tolist(), sheet.parts.power.tolist(), strict=True):
        counts[look] += 1
        if power >= 0:
            powers[look] = powers.get(look, Fraction(0)) + sheet.powers[power]
    order = sorted(
        counts, key=lambda one: (_ROLES.index(sheet.looks[one].role), sheet.looks[one].block)
    )
    return tuple(
        Item(number, sheet.looks[look], counts[look], powers.get(look))
        for number, look in enumerate(order, 1)
    )
