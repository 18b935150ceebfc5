"""What a share check takes from an audit, for people and machines alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.cut_rows import CutRow, cuts_by_network
from analyzer.report.network_rows import NetworkRow, iter_network_rows
from analyzer.save.scan.scan import SlotStatus

# What lies beyond was never generated, or not to the end.
_EDGES: Final = frozenset(
    status.name.lower() for status in (SlotStatus.ABSENT, SlotStatus.UNFINISHED)
)


@dataclass(frozen=True)
class EdgeRow:
    """A network that goes on where the world does not, and where."""

    row: NetworkRow
    cuts: Sequence[CutRow]


def edge_rows(audit: Audit) -> tuple[EdgeRow, ...]:
    """Return the networks that are cut by the world's edge, the largest first."""
    cuts = cuts_by_network(audit)
    found = []
    for row in iter_network_rows(audit):
        at_edge = tuple(cut for cut in cuts.get(row.number, ()) if cut.reason in _EDGES)
        if at_edge:
            found.append(EdgeRow(row, at_edge))
    return tuple(sorted(found, key=lambda edge: (-edge.row.parts, edge.row.number)))


def grave_findings(audit: Audit) -> tuple[Finding, ...]:
    """Return the errors and warnings of an audit, the gravest first."""
    grave = (finding for finding in audit.findings.items if finding.level >= Level.WARNING)
    return tuple(sorted(grave, key=lambda finding: -finding.level))
