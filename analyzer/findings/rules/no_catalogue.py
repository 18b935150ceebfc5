"""No catalogue: the audit was given none, so it could not know any part."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding

NAME: Final = "no-catalogue"


def find_no_catalogue(case: Case, level: Level) -> Iterator[Finding]:
    """Yield a finding if no catalogue was given."""
    if not case.parts.catalogues.sources:
        yield save_finding(NAME, level, count=1)
