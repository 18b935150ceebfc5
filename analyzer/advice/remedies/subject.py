"""What a remedy is sought for: one finding, its network on a workbench, and what is allowed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

import numpy as np

from analyzer.advice.advice import (
    Alongside,
    Cost,
    Cut,
    Edit,
    Flip,
    Gearing,
    Lost,
    Proof,
    Put,
    Remedy,
    RemedyKind,
    Remove,
    SetProperty,
    Spot,
    Weights,
)
from analyzer.advice.edits import spots_of
from analyzer.advice.outline import machines_of
from analyzer.advice.workbench import Workbench, trial_of
from analyzer.base.errors import UsageError
from analyzer.base.place import Block
from analyzer.couplings.engage import Engaged, engaged
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding


@dataclass(frozen=True)
class Allowed:
    """What advice may do.

    Parameters
    ----------
    weights
        What touching a part costs.
    steps
        Most pairs of gears on the way from a mover to any part.
    """

    weights: Weights = field(default_factory=Weights)
    steps: int = 2


@dataclass(frozen=True, eq=False)
class Subject:
    """One finding about one network.

    Parameters
    ----------
    audit
        The audit of the save.
    finding
        What is to be mended.
    bench
        A workbench with the finding's network alone.
    allowed
        What may be done.
    """

    audit: Audit
    finding: Finding
    bench: Workbench
    allowed: Allowed

    @property
    def before(self) -> Audit:
        """The network as it is."""
        return self.bench.before

    @cached_property
    def engaged(self) -> Engaged:
        """Which couplings are engaged."""
        return engaged(self.before.couplings, self.before.parts.switch_states())

    def spot(self, part: int) -> Spot:
        """Return where a part of the workbench stands."""
        parts = self.before.parts
        return Spot(parts.dimensions[int(parts.dimension[part])], parts.block_at(part))

    def remedy(
        self,
        kind: RemedyKind,
        edits: Sequence[Edit],
        proof: Proof,
        mended: Callable[[Audit], bool],
    ) -> Remedy | None:
        """Try edits; return them as a remedy where they mend the finding, else None."""
        bench = self.bench
        if any(isinstance(edit, (Flip, Put, SetProperty)) for edit in edits):
            # A part that looks another way may be coupled with another network.
            bench = Workbench.of_edits(self.audit, edits)
        try:
            after = bench.audit_after(edits)
        except UsageError:
            return None
        if not mended(after):
            return None
        lost, stopped = lost_by(bench.before, after)
        cost = Cost(
            touched=touched_by(edits, self.allowed.weights, self.before),
            lost_rpm=lost.rpm,
            stopped=stopped,
            places=tuple(sorted({spot.at for edit in edits for spot in spots_of(edit)})),
        )
        return Remedy(
            kind=kind,
            cost=cost,
            lost=lost,
            trial=trial_of(bench.before, after, edits),
            proof=proof,
        )

    def rule_gone(self, after: Audit, places: Iterable[Block] | None = None) -> bool:
        """Tell whether the rule finds nothing more in the network's parts.

        Parameters
        ----------
        after
            The audit after some edits.
        places
            Positions of which a finding that counts names one; None: any of the network's parts.
        """
        if places is None:
            parts = self.before.parts
            places = (Block(*xyz) for xyz in parts.xyz.tolist())
        here = frozenset(places)
        return not any(
            one.rule == self.finding.rule
            and one.dimension == self.finding.dimension
            and not here.isdisjoint(one.places)
            for one in after.findings.items
        )


def touched_by(edits: Sequence[Edit], weights: Weights, before: Audit) -> Fraction:
    """Return the weighted count of the parts that some edits touch."""
    total = Fraction(0)
    standing = {tuple(xyz) for xyz in before.parts.xyz.tolist()}
    for edit in edits:
        match edit:
            case Remove():
                total += weights.remove
            case Put():
                total += weights.replace if tuple(edit.spot.at) in standing else weights.add
            case Flip():
                total += weights.flip
            case Alongside():
                total += weights.add * edit.count
            case Cut():
                total += weights.cut
            case Gearing():
                total += weights.gear * (1 if edit.gears is None else 2)
            case _:
                total += weights.set
    return total


def lost_by(before: Audit, after: Audit) -> tuple[Lost, int]:
    """Return what machines lose, and how many stop whose speed was not known."""
    now = _speeds(after)
    stopped: list[Block] = []
    slowed: list[tuple[Block, Fraction, Fraction]] = []
    rpm, unknown = Fraction(0), 0
    for (dimension, at), (driven, old) in sorted(_speeds(before).items()):
        if not driven or old == 0:
            continue
        still, new = now.get((dimension, at), (False, None))
        new = new if still else None
        if not new:
            stopped.append(at)
            unknown += old is None
            rpm += old or 0
        elif old is not None and new < old:
            slowed.append((at, old, new))
            rpm += old - new
    return Lost(tuple(stopped), tuple(slowed), rpm), unknown


def _speeds(audit: Audit) -> dict[tuple[int, Block], tuple[bool, Fraction | None]]:
    """Return for each machine whether its network has an active mover, and |rpm| if known."""
    parts, networks, solution = audit.parts, audit.networks, audit.solution
    driven = np.zeros(len(networks), bool)
    driven[networks.network[solution.active]] = True
    found = {}
    for part in np.flatnonzero(machines_of(parts)).tolist():
        speed = solution.speed_rpm(part)
        key = (int(parts.dimension[part]), parts.block_at(part))
        there = bool(driven[networks.network[part]])
        found[key] = (there, None if speed is None else abs(speed))
    return found
