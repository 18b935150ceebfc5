"""The verdict: what an audit comes to, in one sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.report.network_rows import NetworkRow
from analyzer.report.quantities import counted
from analyzer.solution.solution import State


def verdict(audit: Audit, rows: Sequence[NetworkRow]) -> str:
    """Return the verdict on the networks that were asked about."""
    unread = len(audit.scan.coverage.faults)
    reserve = f"; {counted(unread, 'place')} could not be read" if unread else ""
    return f"{_drives(audit, rows)}{reserve}."


def _drives(audit: Audit, rows: Sequence[NetworkRow]) -> str:
    if not rows:
        return "No drive was found" if audit.parts.catalogues.sources else "No catalogue was loaded"
    states = Counter(row.state for row in rows)
    stuck = states[State.CONFLICTING] + states[State.OVERLOADED]
    if stuck:
        why = [
            f"{states[state]:,} {clause}"
            for state, clause in (
                (State.CONFLICTING, "held fast by a contradiction"),
                (State.OVERLOADED, "asked for more power than there is"),
            )
            if states[state]
        ]
        driven = len(rows) - states[State.IDLE]
        verb = "stands" if stuck == 1 else "stand"
        return f"{stuck:,} of {counted(driven, 'driven network')} {verb} still: {', '.join(why)}"
    levels = Counter(finding.level for finding in audit.findings.items)
    if states[State.IDLE] == len(rows):
        return "Nothing drives any of the networks"
    graver = [level for level in (Level.ERROR, Level.WARNING) if levels[level]]
    if graver:
        told = " and ".join(counted(levels[level], str(level)) for level in graver)
        return f"Every driven network turns, with {told} to look at"
    if audit.ignored:
        return "Every driven network turns, and nothing is wrong but what is ignored"
    return "Every driven network turns, and nothing is wrong with what was read and is known"
