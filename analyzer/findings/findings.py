"""Findings: facts with fields. The sentences about them are made by the report."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from analyzer.base.place import Block
from analyzer.base.policy import Level

#: How far a finding can be trusted.
Certainty: TypeAlias = Literal[
    "yes",
    "as far as read",
    "in another switch state",
    "in another switch state, as far as read",
]


@dataclass(frozen=True, order=True)
class Throw:
    """One property to set on the way to another state of switches and movers.

    Parameters
    ----------
    at
        Position of the switch or mover.
    block
        Its block's name.
    property, value
        What to set, and to what.
    before
        The value that the save holds.
    """

    at: Block
    block: str
    property: str
    value: str
    before: str


@dataclass(frozen=True)
class Witness:
    """The shortest chain of parts that proves a finding.

    Parameters
    ----------
    kind
        ``loop``: the last part is coupled to the first. ``path``: from one end to the other.
    parts
        Positions along the chain.
    ratios
        Ratio of each step along the chain (speed of the next part per speed of this one); a loop
        has as many as parts, a path one fewer.
    product
        Product of the ratios.
    shortest
        False where a shorter chain was not ruled out.
    governed
        Which of the steps, counted from 0, lead through a governed port. The governor's own speed
        does not set the next part's there: the ratio counts from the speed with which the
        governor would have to turn for that.
    """

    kind: Literal["loop", "path"]
    parts: tuple[Block, ...]
    ratios: tuple[Fraction, ...]
    product: Fraction
    shortest: bool = True
    governed: tuple[int, ...] = ()


@dataclass(frozen=True)
class Finding:
    """One finding.

    Parameters
    ----------
    rule
        Name of the rule, such as ``overload``.
    level
        How grave it is, after cuts and the policy.
    certain
        How far it can be trusted.
    dimension
        Dimension's name; empty for the save as a whole.
    network
        Number of the network in `Networks`, or None.
    at
        Where to look first, or None.
    also
        Further places, the worst first, as many as the policy allows.
    count
        How many places (or chunks, or things) it is about in all.
    measured, limit
        The quantity and what it is held against, both in `unit`; None where there is none.
    unit
        Unit label; empty without a quantity.
    witness
        The proof, where one part alone is not.
    fingerprint
        Stable name: hash of rule, dimension and the sorted witness positions.
    names
        Names the finding is about with their counts, such as (namespace, count) pairs.
    throws
        What to set to come to the state in which it holds; none where it holds as the save is.
        `network` is then the saved network whose drive it stops.
    """

    rule: str
    level: Level
    certain: Certainty
    dimension: str
    network: int | None
    at: Block | None
    also: tuple[Block, ...]
    count: int
    measured: Fraction | None
    limit: Fraction | None
    unit: str
    witness: Witness | None
    fingerprint: str
    names: tuple[tuple[str, int], ...] = ()
    throws: tuple[Throw, ...] = ()

    @property
    def places(self) -> frozenset[Block]:
        """Every position that it names."""
        witness = () if self.witness is None else self.witness.parts
        return frozenset((*(() if self.at is None else (self.at,)), *self.also, *witness))


@dataclass(frozen=True)
class Findings:
    """All findings, the gravest first within each dimension and network, in a fixed order."""

    items: tuple[Finding, ...]
