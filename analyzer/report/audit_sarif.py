"""An audit in SARIF 2.1.0, so that viewers and pipelines for static analysis show the findings.

Source: OASIS, *Static Analysis Results Interchange Format (SARIF) Version 2.1.0*, 2020, with its
errata of 2023.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Final

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding, Witness
from analyzer.report.baseline import Comparison, FormerFinding
from analyzer.report.clean import shown
from analyzer.report.json_text import iter_json
from analyzer.report.quantities import exact_of, quantity
from analyzer.report.sarif_places import SAVE, Places, file_location, message_of
from analyzer.report.sarif_rules import rule_descriptors, rule_numbers, rule_overrides
from analyzer.report.scan_json import tool
from analyzer.report.sentences import message, next_step
from analyzer.save.scan.scan import Fault

#: The schema that the document keeps to.
SCHEMA: Final = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
#: What stands before the runs, and behind them.
DOCUMENT_START: Final = f'{{"$schema": "{SCHEMA}", "version": "2.1.0", "runs": [\n'
DOCUMENT_END: Final = "]}\n"
#: Name of the fingerprint among a result's; its number grows where fingerprints change.
FINGERPRINT: Final = "lineshaft/v1"


def iter_audit_sarif(audit: Audit, *, comparison: Comparison | None = None) -> Iterator[str]:
    """Yield the document in pieces; `comparison` is how it differs from a former report."""
    yield DOCUMENT_START
    yield from iter_json(sarif_run(audit, comparison=comparison))
    yield DOCUMENT_END


def sarif_driver() -> dict[str, Any]:
    """Return what SARIF calls the driver: the program and its rules."""
    names = tool()
    return {
        "name": names["name"],
        "version": names["version"],
        "semanticVersion": names["version"],
        "shortDescription": {"text": "A static analyzer for the drives in block-world saves."},
        "rules": rule_descriptors(),
    }


def sarif_run(audit: Audit, *, comparison: Comparison | None = None) -> dict[str, Any]:
    """Return one run: an audit, and how it differs from a former report."""
    return {
        "tool": {"driver": sarif_driver()},
        "invocations": [_invocation(audit)],
        "originalUriBaseIds": {SAVE: {"description": {"text": "The folder of the save."}}},
        "results": list(_iter_results(audit, comparison)),
        "properties": {"title": shown(audit.scan.facts.title)},
    }


def _invocation(audit: Audit) -> dict[str, Any]:
    return {
        "executionSuccessful": True,
        "ruleConfigurationOverrides": rule_overrides(audit.policy),
        "toolExecutionNotifications": [_notification(one) for one in audit.scan.coverage.faults],
    }


def _notification(fault: Fault) -> dict[str, Any]:
    chunk = "" if fault.chunk is None else f", chunk {fault.chunk.cx} {fault.chunk.cz}"
    return {
        "descriptor": {"id": fault.reason},
        "level": "warning",
        "message": message_of(f"Not read: {fault.file}{chunk}: {fault.detail}."),
        "locations": [{"physicalLocation": file_location(fault.file)}],
        "properties": {
            "dimension": shown(fault.dimension) or None,
            "chunk": None if fault.chunk is None else list(fault.chunk),
            "offset": fault.offset,
        },
    }


def _iter_results(audit: Audit, comparison: Comparison | None) -> Iterator[dict[str, Any]]:
    make = _Results(audit)
    known = set() if comparison is None else {one.fingerprint for one in comparison.known}
    for finding in audit.findings.items:
        result = make.result(finding)
        if comparison is not None:
            same = finding.fingerprint in known
            result["baselineState"] = "unchanged" if same else "new"
        yield {**result, "suppressions": []}
    for one in audit.ignored:
        accepted = {
            "kind": "external",
            "status": "accepted",
            "justification": shown(one.ignore.reason),
        }
        result = make.result(one.finding)
        if comparison is not None:
            result["baselineState"] = "unchanged"
        yield {**result, "suppressions": [accepted]}
    for former in () if comparison is None else comparison.gone:
        yield make.gone(former)


class _Results:
    def __init__(self, audit: Audit) -> None:
        self._audit = audit
        self._places = Places(audit)
        self._rules = rule_numbers()

    def result(self, finding: Finding) -> dict[str, Any]:
        """Return a finding as a result."""
        found: dict[str, Any] = {
            "ruleId": finding.rule,
            "ruleIndex": self._rules[finding.rule],
            "level": str(finding.level),
            "message": message_of(message(self._audit, finding)),
        }
        if finding.dimension:
            found["locations"] = [self._where(finding)]
        related = self._related(finding)
        if related:
            found["relatedLocations"] = related
        if finding.witness is not None:
            found["codeFlows"] = [self._flow(finding.dimension, finding.witness)]
        found["partialFingerprints"] = {FINGERPRINT: finding.fingerprint}
        found["properties"] = self._properties(finding)
        return found

    def gone(self, former: FormerFinding) -> dict[str, Any]:
        """Return a finding of a former report that is no more."""
        found: dict[str, Any] = {"ruleId": shown(former.rule)}
        if former.rule in self._rules:
            found["ruleIndex"] = self._rules[former.rule]
        found |= {"level": former.level, "message": message_of(former.message)}
        if former.dimension is not None and former.at is not None:
            found["locations"] = [self._places.block(former.dimension, former.at)]
        return {
            **found,
            "partialFingerprints": {FINGERPRINT: shown(former.fingerprint)},
            "baselineState": "absent",
            "suppressions": [],
        }

    def _where(self, finding: Finding) -> dict[str, Any]:
        if finding.at is not None:
            return self._places.block(finding.dimension, finding.at)
        if finding.also:
            return self._places.chunk(finding.dimension, finding.also[0])
        return self._places.dimension(finding.dimension)

    def _related(self, finding: Finding) -> list[dict[str, Any]]:
        if finding.at is None:
            further = [self._places.chunk(finding.dimension, at) for at in finding.also[1:]]
        else:
            further = [self._places.block(finding.dimension, at) for at in finding.also]
        return [{"id": number, **one} for number, one in enumerate(further, 1)]

    def _flow(self, dimension: str, witness: Witness) -> dict[str, Any]:
        """Return a witness as a flow from part to part, each with what it does to the next."""
        parts: list[Block] = list(witness.parts)
        if witness.kind == "loop":
            parts.append(parts[0])
        notes = [_note(witness, number) for number, _ in enumerate(pairwise(parts))]
        steps = [
            {"location": self._places.block(dimension, at, note)}
            for at, note in zip(parts, [*notes, ""], strict=True)
        ]
        what = "loop" if witness.kind == "loop" else "path"
        shortest = "" if witness.shortest else ", perhaps not the shortest"
        return {
            "message": {"text": f"The {what} that proves it{shortest}."},
            "threadFlows": [{"locations": steps}],
        }

    def _properties(self, finding: Finding) -> dict[str, Any]:
        return {
            "certain": finding.certain,
            "network": self._network(finding),
            "count": finding.count,
            **quantity("measured", finding.measured),
            **quantity("limit", finding.limit),
            "unit": shown(finding.unit) or None,
            "next": shown(next_step(self._audit, finding)),
        }

    def _network(self, finding: Finding) -> str | None:
        return None if finding.network is None else shown(self._audit.network_id(finding.network))


def _note(witness: Witness, number: int) -> str:
    ratio = exact_of(witness.ratios[number]) or "a ratio too long to write"
    if number in witness.governed:
        return f" sets the next through its governed port: {ratio}"
    return f" turns the next {ratio} times"
