"""The title block of a page: what was audited, the verdict, and the counts that matter."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.audit import Audit
from analyzer.report.network_rows import NetworkRow
from analyzer.report.page.markup import Markup, element, escaped
from analyzer.report.page.verdict import verdict
from analyzer.report.quantities import counted
from analyzer.save.scan.scan import SlotStatus
from analyzer.solution.solution import State

#: Shapes of the levels: they tell what their colours tell.
_SHAPES: Final = {
    Level.ERROR: "M4.9.5h6.2l4.4 4.4v6.2l-4.4 4.4H4.9L.5 11.1V4.9z",
    Level.WARNING: "M8 .8 15.6 15H.4z",
    Level.NOTE: "M1 8a7 7 0 0 1 14 0A7 7 0 0 1 1 8z",
}


def title_block(audit: Audit, rows: Sequence[NetworkRow]) -> Markup:
    """Return the title block."""
    return element("div", *_iter_cells(audit, rows), _class="block")


def _iter_cells(audit: Audit, rows: Sequence[NetworkRow]) -> Iterator[Markup]:
    title = element("h1", audit.scan.facts.title, id="top-title", tabindex="-1")
    yield _cell("save", title, "title")
    yield _cell("verdict", element("p", verdict(audit, rows)), "verdict")
    levels = Counter(finding.level for finding in audit.findings.items)
    for level in sorted(Level, reverse=True):
        count = _count(levels[level], str(level), _SHAPES[level])
        yield _cell(f"{level}s", count, "one third")
    yield _cell("parts", _count(sum(row.parts for row in rows)), "many")
    states = Counter(row.state for row in rows)
    told = ", ".join(f"{states[state]:,} {state}" for state in State if states[state])
    networks = Markup(_count(len(rows)) + element("p", told, _class="small"))
    yield _cell("networks", networks, "wide")
    yield _cell("rests on", _rests_on(audit), "five")


def _cell(name: str, inside: str, kind: str) -> Markup:
    return element("div", element("b", name), inside, _class=f"cell {kind}")


def _count(count: int, level: str = "", shape: str = "") -> Markup:
    mark = ""
    if shape:
        mark = Markup(
            '<svg class="mark" viewBox="0 0 16 16" fill="currentColor" aria-hidden="true">'
            f'<path d="{shape}"/></svg>'
        )
    kind = f"count {level if count else ''}".strip()
    return element("div", mark, escaped(f"{count:,}"), _class=kind)


def _rests_on(audit: Audit) -> Markup:
    catalogues = audit.parts.catalogues
    names = [f"{source.title} {source.version}" for source in catalogues.sources]
    unit = f", power in {catalogues.power_unit}" if names else ""
    told = (f"{'; '.join(names) or 'no catalogue'}{unit}", _read(audit))
    return Markup("".join(element("p", text, _class="small") for text in told))


def _read(audit: Audit) -> str:
    coverage, versions = audit.scan.coverage, audit.scan.facts.data_versions
    if coverage.whole:
        return f"{counted(len(coverage.whole), 'structure template')} read"
    slots = coverage.counts()
    chunks = sum(count for status, count in slots.items() if status != SlotStatus.ABSENT)
    files = counted(len(coverage.regions), "region file")
    data = "" if not versions else f", data version {versions[0]}"
    if len(versions) > 1:
        data = f", data versions {versions[0]} to {versions[-1]}"
    return f"{counted(chunks, 'chunk')} in {files}{data}"
