"""Unknown blocks: blocks of a catalogue's namespace that the catalogue does not describe."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.base.block import namespace_of
from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

NAME: Final = "unknown-blocks"


def find_unknown_blocks(case: Case, level: Level) -> Iterator[Finding]:
    """Yield one finding that names what is unknown in the catalogues' namespaces.

    Block entities by id with their count; other blocks by name with the number of palettes that
    have them. A save without a part has none: there everything is unknown.
    """
    if not len(case.parts):
        return
    namespaces = {source.namespace for source in case.parts.catalogues.sources}
    counts = dict(case.scan.strangers) | dict(case.scan.leftovers.unknown)
    names = [(name, count) for name, count in counts.items() if namespace_of(name) in namespaces]
    if names:
        yield save_finding(
            NAME,
            level,
            count=len(names),
            names=sorted(names, key=lambda item: (-item[1], item[0])),
        )
