"""Newer version: chunks were written by a later version of the game than the reader knows."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.case import Case
from analyzer.findings.findings import Finding
from analyzer.findings.make import save_finding
from analyzer.save.chunk.versions import NEWEST_KNOWN

NAME: Final = "newer-version"


def find_newer_versions(case: Case, level: Level) -> Iterator[Finding]:
    """Yield a finding if a data version is above the newest known, which is itself fine.

    Measured is the newest data version of the save; it counts those above.
    """
    above = [version for version in case.scan.facts.data_versions if version > NEWEST_KNOWN]
    if above:
        yield save_finding(
            NAME,
            level,
            count=len(above),
            measured=Fraction(max(above)),
            limit=Fraction(NEWEST_KNOWN),
        )
