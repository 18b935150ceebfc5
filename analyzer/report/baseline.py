"""A former report that an audit is held against, and how the two differ."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.place import Block
from analyzer.findings.findings import Finding


@dataclass(frozen=True)
class FormerFinding:
    """One finding of a former report, as far as a later one tells of it.

    Parameters
    ----------
    fingerprint, rule, level
        Its stable name, its rule, and how grave it was.
    dimension
        Dimension's name; None for the save as a whole.
    network
        Id of its network, or None.
    at
        Where to look first, or None.
    message
        What was wrong, as a sentence.
    elsewhere
        Whether it held in another state of switches and movers alone.
    """

    fingerprint: str
    rule: str
    level: str
    dimension: str | None
    network: str | None
    at: Block | None
    message: str
    elsewhere: bool = False


@dataclass(frozen=True)
class Comparison:
    """How the findings of an audit differ from those of a former report.

    Parameters
    ----------
    known
        Findings that the former report has too, in the order of findings.
    new
        Findings that it has not.
    gone
        Its findings that are no more, in its order.
    not_judged
        Its findings of which nothing can be said now: their rule, dimension, network or state was
        not asked for, or their place could not be read.
    """

    known: tuple[Finding, ...]
    new: tuple[Finding, ...]
    gone: tuple[FormerFinding, ...]
    not_judged: tuple[FormerFinding, ...]
