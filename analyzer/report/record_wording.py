"""Sentences about what was not read, not known, or kept by the save in a way that does not work."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import shown
from analyzer.report.quantities import amount, counted, listed
from analyzer.report.wording import MOST_NAMES, Wording, always, quantities

#: What a broken link leads to, by reason.
_LEADS_TO: Final = {
    "itself": "the part itself",
    "missing": "where no part is",
    "no-link": "a part that has no link",
    "not-parallel": "a part whose axis is not parallel",
}
#: What became of a chunk, by status.
_CHUNK_IS: Final = {
    "absent": "never generated",
    "unfinished": "unfinished",
    "old": "from before 1.13",
    "unreadable": "unreadable",
    "unstable": "being written",
}


def _unread_chunks(audit: Audit, finding: Finding) -> str:
    faults = audit.scan.coverage.faults
    here = [fault for fault in faults if fault.dimension == finding.dimension]
    files = sum(fault.chunk is None for fault in here)
    kinds = ((len(here) - files, "chunk"), (files, "file"))
    what = " and ".join(counted(count, noun) for count, noun in kinds if count)
    return (
        f"{what} could not be read ({listed(dict(finding.names), most=MOST_NAMES)}): what stands "
        "there was not judged."
    )


def _nothing_known(_: Audit, finding: Finding) -> str:
    names = {shown(name): count for name, count in finding.names}
    entities = counted(finding.count, "block entity", "block entities")
    return (
        "Nothing here is known: no part was found, but "
        f"{entities} of other namespaces: {listed(names, most=MOST_NAMES)}."
    )


def _no_catalogue(_: Audit, finding: Finding) -> str:
    return "No catalogue was given, so no block is known as a part and nothing can be judged."


def _broken_link(_: Audit, finding: Finding) -> str:
    links = {_LEADS_TO[reason]: count for reason, count in finding.names}
    if finding.count == 1:
        return f"A stored link leads to {next(iter(links))} and couples nothing."
    told = ", ".join(f"{count:,} to {what}" for what, count in links.items())
    return f"{finding.count:,} stored links couple nothing: {told}."


def _unusable_number(_: Audit, finding: Finding) -> str:
    paths = listed({shown(path): count for path, count in finding.names}, most=MOST_NAMES)
    numbers = counted(finding.count, "stored number")
    return f"{numbers} cannot be used ({paths}): what rests on that is not known."


def _not_understood(audit: Audit, finding: Finding) -> str:
    ((block, count),) = finding.names
    detail = next(
        one.detail
        for one in audit.parts.rejected
        if one.at == finding.at and audit.parts.dimensions[one.dimension] == finding.dimension
    )
    blocks = counted(count, "block")
    return f"{blocks} of {shown(block)} cannot be understood: {shown(detail)}."


def _record_missing(_: Audit, finding: Finding) -> str:
    ((block, count),) = finding.names
    blocks, have = counted(count, "block"), "has" if count == 1 else "have"
    return f"{blocks} of {shown(block)} {have} no block entity and cannot be judged as a part."


def _unknown_blocks(_: Audit, finding: Finding) -> str:
    names = {shown(name): count for name, count in finding.names}
    return (
        f"Not in any catalogue, though in the namespace of one: {listed(names, most=MOST_NAMES)}."
    )


def _cut_network(_: Audit, finding: Finding) -> str:
    aims = counted(finding.count, "block")
    told = ", ".join(f"{_CHUNK_IS[status]} {count:,}" for status, count in finding.names)
    return (
        f"It points at {aims} in chunks that were not read ({told}): what stands there may belong "
        "to it."
    )


def _have_it_read(_: Audit, finding: Finding) -> str:
    if {status for status, _ in finding.names} == {"absent"}:
        return "Go there once, so that the game generates the chunks, and audit again."
    return "Restore those chunks, or have the game finish or upgrade them, and audit again."


def _newer_version(_: Audit, finding: Finding) -> str:
    newest, known = (amount(value, "").strip() for value in quantities(finding))
    return (
        f"There are chunks of data version {newest}; the newest that is known is {known}. They "
        "were read as far as their layout is known."
    )


RECORDS: Final[Mapping[str, Wording]] = {
    "broken-link": Wording(
        _broken_link, always("Link the parts anew in the game, or take out what is not used.")
    ),
    "cut-network": Wording(_cut_network, _have_it_read),
    "newer-version": Wording(
        _newer_version, always("Look for a newer version of this program, and check what it finds.")
    ),
    "no-catalogue": Wording(_no_catalogue, always("Name one with --catalogue, or draft one:")),
    "not-understood": Wording(
        _not_understood, always("Add what is missing to the entry of that block in the catalogue.")
    ),
    "nothing-known": Wording(_nothing_known, always("Draft a catalogue for them and fill it in:")),
    "record-missing": Wording(
        _record_missing,
        always(
            "Take the blocks out and set them again; or, if the type has none, correct its entry "
            "in the catalogue."
        ),
    ),
    "unknown-blocks": Wording(
        _unknown_blocks, always("If any of them turns, add it to the catalogue:")
    ),
    "unread-chunks": Wording(
        _unread_chunks,
        always(
            "See Not read for each. Restore them from a backup, or accept it with --allow-unread."
        ),
    ),
    "unusable-number": Wording(
        _unusable_number,
        always("See Left over for what is stored. Set the numbers again in the game."),
    ),
}
