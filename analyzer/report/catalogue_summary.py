"""Catalogues without a mistake, for people."""

from __future__ import annotations

from collections.abc import Iterator

from analyzer.catalogue.catalogue import Catalogues
from analyzer.report.clean import shown
from analyzer.report.quantities import counted


def iter_summary(catalogues: Catalogues) -> Iterator[str]:
    """Yield one line a catalogue; none for none."""
    for source in catalogues.sources:
        types = counted(source.types, "type")
        yield f"{shown(source.title)} {shown(source.version)}: {types} of part, no mistake\n"
