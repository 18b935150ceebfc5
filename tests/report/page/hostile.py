"""Audits in which every name that comes from a save or a catalogue is a hostile one."""

from __future__ import annotations

from dataclasses import replace

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from tests.support.demo import demo_audit

#: Names that would be markup, scripts, ends of scripts, placeholders, or turn text round.
HOSTILE = (
    "</script><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "\"'><b>bold</b>",
    "&lt;not an entity&gt; &amp;",
    "$title ${data} $$",
    "=1+1",
    "\u202egnp.exe \u200b\x1b[31m\x00\n",
    "<!--",
    "]]>",
)


def hostile(name: str) -> Audit:
    """An audit whose title, dimension, catalogue and reasons all are one hostile name."""
    audit = demo_audit()
    sources = tuple(
        replace(one, title=name, version=name, licence=name, power_unit=name)
        for one in audit.parts.catalogues.sources
    )
    types = tuple(
        replace(one, block=f"quayworks:{number} {name}")
        for number, one in enumerate(audit.parts.catalogues.types)
    )
    dimensions = (name, *audit.parts.dimensions[1:])
    parts = replace(
        audit.parts,
        dimensions=dimensions,
        catalogues=replace(audit.parts.catalogues, sources=sources, types=types),
        rejected=tuple(replace(one, block=name, detail=name) for one in audit.parts.rejected),
    )
    first = audit.parts.dimensions[0]
    items = tuple(
        replace(
            one,
            dimension=name if one.dimension == first else one.dimension,
            unit=name if one.unit else "",
            names=_names(one, name),
        )
        for one in audit.findings.items
    )
    coverage = replace(
        audit.scan.coverage,
        faults=tuple(replace(one, file=name, detail=name) for one in audit.scan.coverage.faults),
    )
    facts = replace(audit.scan.facts, title=name, passed_over=(name,))
    leftovers = replace(audit.scan.leftovers, unknown=((name, 2),))
    return replace(
        audit,
        parts=parts,
        findings=replace(audit.findings, items=items),
        scan=replace(
            audit.scan,
            dimensions=(name, *audit.scan.dimensions[1:]),
            coverage=coverage,
            facts=facts,
            leftovers=leftovers,
        ),
    )


def _names(finding: Finding, name: str) -> tuple[tuple[str, int], ...]:
    """Return the names of a finding: those of blocks come from the save, others are our own."""
    if finding.rule not in ("unknown-blocks", "not-understood", "unread-chunks"):
        return finding.names
    return tuple((name, count) for _, count in finding.names)
