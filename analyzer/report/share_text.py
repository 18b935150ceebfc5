"""A share check for people: what to mend, what others need, and what the save tells of people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.finding_text import iter_brief
from analyzer.report.layout import columns, heading, labelled, paragraph
from analyzer.report.quantities import counted, place
from analyzer.report.scan_text import iter_scan_summary, iter_unread
from analyzer.report.share_rows import EdgeRow, edge_rows, grave_findings
from analyzer.save.disclosure.disclosure import Address, Disclosure, Need, PersonalFile
from analyzer.save.scan.scan import SlotStatus

_MOST_FINDINGS: Final = 20
_MOST_NEEDS: Final = 20
_MOST_EDGES: Final = 10
_MOST_FILES: Final = 5
_MOST_ADDRESSES: Final = 20


def iter_share_text(audit: Audit, disclosure: Disclosure, *, save: str = "SAVE") -> Iterator[str]:
    """Yield the report in pieces that end with a line.

    Parameters
    ----------
    audit, disclosure
        What to report.
    save
        How the save is called on a command line, for the commands that the report suggests.
    """
    yield from heading(shown(audit.scan.facts.title), "=")
    yield from iter_scan_summary(audit.scan.facts, audit.scan.coverage)
    yield from labelled("changed", "nothing: the save was read, and no file in it was written")
    yield from _findings(audit, save)
    yield from _needs(audit, disclosure)
    yield from _edges(edge_rows(audit))
    yield from _personal(disclosure)
    yield from _addresses(disclosure)
    yield from iter_unread(audit.scan.coverage)


def _section(title: str) -> Iterator[str]:
    yield "\n"
    yield from heading(title, "=")


def _findings(audit: Audit, save: str) -> Iterator[str]:
    found = grave_findings(audit)
    errors = sum(finding.level == Level.ERROR for finding in found)
    tally = f"{counted(errors, 'error')}, {counted(len(found) - errors, 'warning')}"
    yield from _section(f"To mend: {tally}")
    if not found:
        yield from paragraph("The audit has no error and no warning.")
    for finding in found[:_MOST_FINDINGS]:
        yield from iter_brief(audit, finding)
    if found:
        left = len(found) - _MOST_FINDINGS
        if left > 0:
            yield f"  ... and {left:,} more\n"
        yield "  In full, with the same catalogues:\n"
        yield f"  lineshaft audit {save}\n"


def _needs(audit: Audit, disclosure: Disclosure) -> Iterator[str]:
    needs = disclosure.needs
    yield from _section(f"To install: {counted(len(needs), 'namespace')} beside the game's own")
    if needs:
        header = ("blocks", "names", "block entities", "ids", "namespace")
        rows = [header, *map(_need, needs[:_MOST_NEEDS])]
        yield from columns(rows, right="rrrrl")
    else:
        yield from paragraph("Whoever opens it needs the game alone, as far as blocks go.")
    if len(needs) > _MOST_NEEDS:
        yield f"  ... and {len(needs) - _MOST_NEEDS:,} more. All of them: --format json\n"
    if disclosure.more_names:
        text = f"{disclosure.more_names:,} blocks and block entities more, of too many names."
        yield from paragraph(text, first="  ")
    old = audit.scan.coverage.counts()[SlotStatus.OLD]
    if old:
        chunks = counted(old, "chunk")
        text = f"{chunks} from before 1.13 store numbers for blocks: what those need is not known."
        yield from paragraph(text, first="  ")


def _need(need: Need) -> tuple[str, ...]:
    blocks = sum(count for _, count in need.blocks)
    entities = sum(count for _, count in need.entities)
    counts = (blocks, len(need.blocks), entities, len(need.entities))
    return (*(f"{count:,}" for count in counts), shown(need.namespace))


def _edges(edges: Sequence[EdgeRow]) -> Iterator[str]:
    yield from _section(f"Cut by the world's edge: {counted(len(edges), 'network')}")
    if not edges:
        yield from paragraph("No drive goes on where the world has not been generated.")
    for edge in edges[:_MOST_EDGES]:
        first = edge.cuts[0]
        towards = "" if first.towards is None else f" towards {place(first.towards)}"
        more = f", and at {len(edge.cuts) - 1:,} more places" if len(edge.cuts) > 1 else ""
        parts = counted(edge.row.parts, "part")
        yield from paragraph(
            f"{shown(edge.row.id)}, {parts}: at {place(first.at)}{towards}{more}",
            first="  ",
            rest="    ",
        )
    if len(edges) > _MOST_EDGES:
        yield f"  ... and {len(edges) - _MOST_EDGES:,} more. All of them: --format json\n"


def _personal(disclosure: Disclosure) -> Iterator[str]:
    files = disclosure.personal
    yield from _section(f"About people: {counted(len(files), 'file')}")
    if not disclosure.looked_around:
        yield from paragraph("Not looked for: this is not the folder of a whole save.")
    elif not files:
        yield from paragraph("No file of players, operators or bans lies in the folder.")
    for kind, group in groupby(files, key=lambda file: file.kind):
        yield from labelled(str(kind), _named(list(group)), indent=2, width=25)
    if disclosure.more_files:
        yield from paragraph("The folder holds more files than were looked at.", first="  ")


def _named(files: Sequence[PersonalFile]) -> str:
    named = ", ".join(shown(file.file) for file in files[:_MOST_FILES])
    left = len(files) - _MOST_FILES
    return f"{named}, and {left:,} more" if left > 0 else named


def _addresses(disclosure: Disclosure) -> Iterator[str]:
    found = disclosure.addresses
    total = len(found) + disclosure.more_addresses
    yield from _section(f"Addresses and paths in texts: {total:,}")
    if not found:
        yield from paragraph("No text holds an address, or a path of somebody's machine.")
    for address in found[:_MOST_ADDRESSES]:
        yield from labelled(str(address.kind), shown(address.text), indent=2, width=7)
        yield from paragraph(_where(address), first=" " * 9, rest=" " * 11)
    if total > _MOST_ADDRESSES:
        yield f"  ... and {total - _MOST_ADDRESSES:,} more: --format json\n"


def _where(address: Address) -> str:
    at = "" if address.at is None else f"at {place(address.at)}, "
    return f"{at}{shown(address.field)} in {shown(address.file)}"
