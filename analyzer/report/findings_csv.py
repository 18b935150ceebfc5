"""The findings of an audit as a CSV table: docs/output.md, Findings as a table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.clean import cell
from analyzer.report.quantities import exact_of, number_of
from analyzer.report.sentences import message
from analyzer.report.tables import iter_csv

#: The columns, in order.
COLUMNS: Final = (
    "level",
    "rule",
    "certain",
    "dimension",
    "x",
    "y",
    "z",
    "network",
    "count",
    "measured",
    "measured_exact",
    "limit",
    "limit_exact",
    "unit",
    "fingerprint",
    "message",
)


def iter_findings_csv(audit: Audit) -> Iterator[str]:
    """Yield the table in pieces, in the order of findings; without any, the header alone."""
    yield from iter_csv(COLUMNS, (finding_row(audit, finding) for finding in audit.findings.items))


def finding_row(audit: Audit, finding: Finding) -> tuple[str, ...]:
    """Return the cells of one finding, as safe as a table needs them."""
    at = ("", "", "") if finding.at is None else tuple(map(str, finding.at))
    return (
        str(finding.level),
        finding.rule,
        finding.certain,
        cell(finding.dimension),
        *at,
        _network(audit, finding),
        str(finding.count),
        *(
            "" if one is None else str(one)
            for value in (finding.measured, finding.limit)
            for one in (number_of(value), exact_of(value))
        ),
        cell(finding.unit),
        finding.fingerprint,
        cell(message(audit, finding)),
    )


def _network(audit: Audit, finding: Finding) -> str:
    return "" if finding.network is None else cell(audit.network_id(finding.network))
