"""An audit for people: a summary, the findings by place, the networks by size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from analyzer.base.block import HOST_NAMESPACE, namespace_of
from analyzer.findings.audit import Audit
from analyzer.report.baseline import Comparison
from analyzer.report.baseline_text import iter_comparison
from analyzer.report.clean import shown
from analyzer.report.findings_text import iter_findings
from analyzer.report.ignored_text import iter_ignored
from analyzer.report.layout import heading, labelled
from analyzer.report.leftover_text import iter_leftovers
from analyzer.report.network_rows import NetworkRow, iter_network_rows
from analyzer.report.network_table import iter_network_table
from analyzer.report.quantities import counted, listed
from analyzer.report.scan_text import iter_scan_summary, iter_unread
from analyzer.report.switching_text import iter_switching
from analyzer.solution.solution import State
from analyzer.switching.switching import Switching

#: Most block-entity ids that the summary names.
_MOST_UNKNOWN: Final = 6


def iter_audit_text(
    audit: Audit,
    *,
    save: str = "SAVE",
    title: str | None = None,
    comparison: Comparison | None = None,
    switching: Switching | None = None,
) -> Iterator[str]:
    """Yield the report in pieces that end with a line.

    Parameters
    ----------
    audit
        What to report.
    save
        How the save is called on a command line, for the commands that the report suggests.
    title
        Name of the save; None: its own title.
    comparison
        How it differs from a former report, if it was held against one.
    switching
        What was found in other states of switches and movers, if they were explored.
    """
    rows = list(iter_network_rows(audit))
    yield from heading(shown(title or audit.scan.facts.title), "=")
    yield from _summary(audit, rows)
    yield from iter_findings(audit, rows, save=save)
    yield from iter_ignored(audit)
    if comparison is not None:
        yield from iter_comparison(comparison)
    if switching is not None:
        yield from iter_switching(audit, switching)
    yield from iter_network_table(rows, unit=audit.parts.catalogues.power_unit, save=save)
    yield from iter_leftovers(audit.parts)
    yield from iter_unread(audit.scan.coverage)


def _summary(audit: Audit, rows: Sequence[NetworkRow]) -> Iterator[str]:
    sources = audit.parts.catalogues.sources
    for number, source in enumerate(sources):
        types = counted(source.types, "type")
        text = f"{shown(source.title)} {shown(source.version)}, {types} of part"
        yield from labelled("" if number else "catalogues", text)
    if not sources:
        yield from labelled("catalogues", "none")
    yield from iter_scan_summary(audit.scan.facts, audit.scan.coverage)
    yield from _decisions(audit)
    yield from labelled("parts", _parts(audit, rows))
    yield from _taken(audit)
    yield from labelled("unknown", _unknown(audit))


def _decisions(audit: Audit) -> Iterator[str]:
    """Yield what the user decided that changes what is found, so that no silence misleads."""
    if audit.policy.off:
        yield from labelled("not judged", ", ".join(sorted(audit.policy.off)))
    if audit.policy.assume_active:
        yield from labelled("assumed", "every mover that is not active runs at its rating")


def _parts(audit: Audit, rows: Sequence[NetworkRow]) -> str:
    if not len(audit.parts):
        return "none"
    total = f"{counted(len(audit.parts), 'part')} in {counted(len(audit.networks), 'network')}"
    if len(rows) < len(audit.networks):
        total = f"{total}; {len(rows):,} asked about"
    states = Counter(row.state for row in rows)
    by_state = [f"{states[state]:,} {state}" for state in State if states[state]]
    return f"{total}: {', '.join(by_state)}" if by_state else total


def _taken(audit: Audit) -> Iterator[str]:
    if audit.taken_while_running:
        taken = counted(len(audit.taken_while_running), "network")
        yield from labelled(
            "note",
            f"{taken} taken while running: another program wrote chunks of theirs during the scan, "
            "so that their parts may never have stood so at one moment",
        )


def _unknown(audit: Audit) -> str:
    unknown = audit.scan.leftovers.unknown
    if not unknown:
        return "no block entity"
    others = {shown(name): count for name, count in unknown if not _is_of_the_game(name)}
    of_the_game = sum(count for name, count in unknown if _is_of_the_game(name))
    entities = counted(sum(count for _, count in unknown), "block entity", "block entities")
    told = [listed(others, most=_MOST_UNKNOWN)] if others else []
    told += [f"{of_the_game:,} of the game's own"] if of_the_game else []
    return f"{entities} that no catalogue knows: {'; '.join(told)}"


def _is_of_the_game(entity: str) -> bool:
    return namespace_of(entity) == HOST_NAMESPACE
