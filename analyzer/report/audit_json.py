"""An audit for machines: the JSON document of docs/output.md."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding, Witness
from analyzer.findings.ignores import Ignore, Ignored
from analyzer.report.json_text import iter_json
from analyzer.report.networks_json import network_lines
from analyzer.report.quantities import exact_of, number_of, quantity
from analyzer.report.scan_json import chunk_counts, save_facts, tool, unread
from analyzer.report.sentences import message
from analyzer.report.switching_json import switching_object, throws_list

# Few audits are compared with a former one, or explore other states.
if TYPE_CHECKING:
    from analyzer.report.baseline import Comparison, FormerFinding
    from analyzer.switching.switching import Switching

#: Grows with any change that a reader of the document could trip over.
SCHEMA_VERSION: Final = 1


def iter_audit_json(
    audit: Audit, *, comparison: Comparison | None = None, switching: Switching | None = None
) -> Iterator[str]:
    """Yield the document in pieces.

    `comparison` is how it differs from a former report, `switching` what was found in other states
    of switches and movers, if they were explored.
    """
    yield from iter_json(_document(audit, comparison, switching))


def _document(
    audit: Audit, comparison: Comparison | None, switching: Switching | None
) -> dict[str, Any]:
    # Nothing in it depends on the clock, this machine, or how the work was shared out; only
    # ignores with an end hold up to a day.
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": tool(),
        "save": save_facts(audit.scan.facts),
        "catalogues": _catalogues(audit),
        "policy": {
            "assume_active": audit.policy.assume_active,
            "hints": audit.policy.hints,
            "off": sorted(audit.policy.off),
        },
        "scan": _scan(audit),
        "networks": network_lines(audit),
        "findings": [_finding(audit, finding) for finding in audit.findings.items],
        "ignored": [_ignored(one) for one in audit.ignored],
        "lapsed": [_lapsed(one) for one in audit.lapsed],
        "baseline": None if comparison is None else _baseline(comparison),
        **({} if switching is None else {"switching": switching_object(audit, switching)}),
        "unread": unread(audit.scan.coverage),
    }


def _catalogues(audit: Audit) -> list[dict[str, Any]]:
    return [
        {
            "title": source.title,
            "namespace": source.namespace,
            "version": source.version,
            "licence": source.licence,
            "power_unit": source.power_unit,
            "types": source.types,
        }
        for source in audit.parts.catalogues.sources
    ]


def _scan(audit: Audit) -> dict[str, Any]:
    left = audit.scan.leftovers
    rejected = Counter(one.reason for one in audit.parts.rejected)
    return {
        "dimensions": list(audit.scan.dimensions),
        "regions": len(audit.scan.coverage.regions),
        "chunks": chunk_counts(audit.scan.coverage),
        "parts": len(audit.parts),
        "unknown": dict(left.unknown),
        "leftovers": {
            "stale": rejected["stale"],
            "not_understood": rejected["not-understood"],
            "unusable_numbers": len(audit.parts.unusable),
            "duplicate": left.duplicate,
            "misplaced": left.misplaced,
            "malformed": left.malformed,
            "unfinished": left.unfinished,
        },
    }


def _finding(audit: Audit, finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "level": str(finding.level),
        "certain": finding.certain,
        "dimension": finding.dimension or None,
        "network": None if finding.network is None else audit.network_id(finding.network),
        "at": _block(finding.at),
        "also": [list(block) for block in finding.also],
        "count": finding.count,
        **quantity("measured", finding.measured),
        **quantity("limit", finding.limit),
        "unit": finding.unit or None,
        "witness": None if finding.witness is None else _witness(finding.witness),
        "names": dict(finding.names),
        **({"switches": throws_list(finding.throws)} if finding.throws else {}),
        "fingerprint": finding.fingerprint,
        "message": message(audit, finding),
    }


def _ignored(one: Ignored) -> dict[str, Any]:
    finding, until = one.finding, one.ignore.until
    return {
        "fingerprint": finding.fingerprint,
        "rule": finding.rule,
        "level": str(finding.level),
        "dimension": finding.dimension or None,
        "at": _block(finding.at),
        "reason": one.ignore.reason,
        "until": None if until is None else until.isoformat(),
    }


def _lapsed(ignore: Ignore) -> dict[str, Any]:
    return {
        "rule": ignore.rule,
        "network": ignore.network,
        "box": None if ignore.box is None else [list(corner) for corner in ignore.box],
        "dimension": ignore.dimension,
        "reason": ignore.reason,
        "until": None if ignore.until is None else ignore.until.isoformat(),
    }


def _baseline(comparison: Comparison) -> dict[str, Any]:
    return {
        "known": [one.fingerprint for one in comparison.known],
        "new": [one.fingerprint for one in comparison.new],
        "gone": list(map(_former, comparison.gone)),
        "not_judged": list(map(_former, comparison.not_judged)),
    }


def _former(one: FormerFinding) -> dict[str, Any]:
    return {
        "fingerprint": one.fingerprint,
        "rule": one.rule,
        "level": one.level,
        "dimension": one.dimension,
        "network": one.network,
        "at": _block(one.at),
        "message": one.message,
    }


def _witness(witness: Witness) -> dict[str, Any]:
    return {
        "kind": witness.kind,
        "shortest": witness.shortest,
        "parts": [list(block) for block in witness.parts],
        "ratios": [number_of(ratio) for ratio in witness.ratios],
        "ratios_exact": [exact_of(ratio) for ratio in witness.ratios],
        **quantity("product", witness.product),
        "governed": list(witness.governed),
    }


def _block(block: Block | None) -> list[int] | None:
    return None if block is None else list(block)
