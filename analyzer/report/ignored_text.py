"""Findings that the user accepts, and what was accepted up to a day that is past, for people."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.findings.ignores import Ignore, Ignored
from analyzer.report.clean import shown
from analyzer.report.layout import heading, paragraph
from analyzer.report.quantities import counted
from analyzer.report.sentences import place
from analyzer.report.where_text import where_text

#: Most of each that are listed.
_MOST: Final = 20


def iter_ignored(audit: Audit) -> Iterator[str]:
    """Yield a section on each of the two; nothing where nothing was accepted."""
    if audit.ignored:
        yield "\n"
        yield from heading(f"Ignored: {counted(len(audit.ignored), 'finding')}", "=")
        for one in audit.ignored[:_MOST]:
            yield from paragraph(_ignored(one), first="  ", rest="    ")
        yield from _rest(len(audit.ignored))
    if audit.lapsed:
        yield "\n"
        yield from heading("Ignored no longer", "=")
        for ignore in audit.lapsed[:_MOST]:
            yield from paragraph(_lapsed(ignore), first="  ", rest="    ")
        yield from _rest(len(audit.lapsed))


def _ignored(one: Ignored) -> str:
    finding, until = one.finding, one.ignore.until
    end = "" if until is None else f" (until {until.isoformat()})"
    where = where_text(finding.dimension, finding.at)
    return f"{finding.level}: {finding.rule}{where}: {shown(one.ignore.reason)}{end}"


def _lapsed(ignore: Ignore) -> str:
    assert ignore.until is not None, "only what has an end can be past it"
    told = [ignore.rule or "every rule"]
    if ignore.network is not None:
        told.append(f"network {shown(ignore.network)}")
    if ignore.box is not None:
        told.append(f"box {place(ignore.box[0])} to {place(ignore.box[1])}")
    if ignore.dimension is not None:
        told.append(f"in {shown(ignore.dimension)}")
    return f"until {ignore.until.isoformat()}: {', '.join(told)}: {shown(ignore.reason)}"


def _rest(count: int) -> Iterator[str]:
    if count > _MOST:
        yield f"  ... and {count - _MOST:,} more. All of them: --format json\n"
