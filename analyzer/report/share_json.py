"""A share check for machines: the JSON document of docs/output.md, Share check."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.report.json_text import iter_json
from analyzer.report.scan_json import chunk_counts, save_facts, tool, unread
from analyzer.report.sentences import message
from analyzer.report.share_rows import EdgeRow, edge_rows, grave_findings
from analyzer.save.disclosure.disclosure import Address, Disclosure, Need

#: Grows with any change that a reader of the document could trip over.
SCHEMA_VERSION: Final = 1


def iter_share_json(audit: Audit, disclosure: Disclosure) -> Iterator[str]:
    """Yield the document in pieces."""
    yield from iter_json(share_document(audit, disclosure))


def share_document(audit: Audit, disclosure: Disclosure) -> dict[str, Any]:
    """Return the document as plain values; of a save that tells nothing its lists are empty."""
    coverage = audit.scan.coverage
    return {
        "schema_version": SCHEMA_VERSION,
        "tool": tool(),
        "save": save_facts(audit.scan.facts),
        "changed": False,
        "scan": {
            "dimensions": list(audit.scan.dimensions),
            "regions": len(coverage.regions),
            "chunks": chunk_counts(coverage),
            "whole_save": disclosure.looked_around,
            "more_files": disclosure.more_files,
        },
        "catalogues": [source.title for source in audit.parts.catalogues.sources],
        "findings": [_finding(audit, finding) for finding in grave_findings(audit)],
        "needs": list(map(_need, disclosure.needs)),
        "more_names": disclosure.more_names,
        "edges": list(map(_edge, edge_rows(audit))),
        "personal": [{"kind": str(one.kind), "file": one.file} for one in disclosure.personal],
        "addresses": list(map(_address, disclosure.addresses)),
        "more_addresses": disclosure.more_addresses,
        "unread": unread(coverage),
    }


def _finding(audit: Audit, finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "level": str(finding.level),
        "certain": finding.certain,
        "dimension": finding.dimension or None,
        "at": None if finding.at is None else list(finding.at),
        "fingerprint": finding.fingerprint,
        "message": message(audit, finding),
    }


def _need(need: Need) -> dict[str, Any]:
    return {
        "namespace": need.namespace,
        "blocks": dict(need.blocks),
        "entities": dict(need.entities),
    }


def _edge(edge: EdgeRow) -> dict[str, Any]:
    return {
        "network": edge.row.id,
        "dimension": edge.row.dimension,
        "parts": edge.row.parts,
        "cut": [
            {
                "at": list(cut.at),
                "towards": None if cut.towards is None else list(cut.towards),
                "reason": cut.reason,
            }
            for cut in edge.cuts
        ],
    }


def _address(address: Address) -> dict[str, Any]:
    return {
        "kind": str(address.kind),
        "text": address.text,
        "dimension": address.dimension or None,
        "file": address.file,
        "at": None if address.at is None else list(address.at),
        "field": address.field,
    }
