"""Findings that the user accepts for now, and what is accepted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from analyzer.base.place import Block
from analyzer.findings.findings import Finding


@dataclass(frozen=True)
class Ignore:
    """What the user accepts; a finding has to meet all that is said.

    Parameters
    ----------
    reason
        Why it is accepted.
    rule
        Name of the rule; None for every rule.
    network
        Id of the network; None for every network.
    box
        Two opposite corners: findings about networks with a part in it, and those without a
        network that lie in it.
    dimension
        Name of the dimension; None for every dimension.
    until
        The last day on which it holds; None without an end.
    """

    reason: str
    rule: str | None = None
    network: str | None = None
    box: tuple[Block, Block] | None = None
    dimension: str | None = None
    until: date | None = None

    def holds_on(self, today: date | None) -> bool:
        """Tell whether it holds on a day; without a day it holds."""
        return self.until is None or today is None or today <= self.until


@dataclass(frozen=True)
class Ignored:
    """A finding with the first ignore that it meets."""

    finding: Finding
    ignore: Ignore
