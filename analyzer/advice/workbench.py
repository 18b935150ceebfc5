"""A workbench: some networks of an audited save, on which changes are tried."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Final

import numpy as np

from analyzer.advice.advice import Edit, Outline, Spot, Trial
from analyzer.advice.edits import apply_edits, spots_of
from analyzer.advice.outline import outlines_of
from analyzer.base.errors import UsageError
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Catalogues
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.excerpt import Rows, excerpt_couplings, excerpt_parts
from analyzer.findings.audit import Audit
from analyzer.findings.judge import judge_audit
from analyzer.findings.registry import RULES
from analyzer.networks.group import group_networks
from analyzer.parts.parts import Parts
from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.scan.bare import no_bare_blocks
from analyzer.solution.solve import solve_networks

#: Rules about a network as it turns; the others are about a save, or about what it recorded.
JUDGED: Final = frozenset(
    {
        "broken-link",
        "cut-network",
        "driving-nothing",
        "governor-conflict",
        "heavy-network",
        "loop-conflict",
        "mover-conflict",
        "out-of-range",
        "over-speed",
        "overload",
        "thin-headroom",
        "too-slow",
        "undriven-machines",
        "unequal-movers",
        "unusable-number",
    }
)


class Workbench:
    """Some networks with all that couples them, on which changes are tried.

    What is tried is solved again by the same stages as the save, on these networks alone.

    Parameters
    ----------
    audit
        The audit of the save.
    rows
        Parts of whole networks, ascending.
    """

    def __init__(self, audit: Audit, rows: Rows) -> None:
        self.source = audit
        self.parts: Parts = excerpt_parts(audit.parts, rows)
        self.couplings: Couplings = excerpt_couplings(audit.couplings, len(audit.parts), rows)
        self._scan = replace(audit.scan, leftovers=Leftovers(), bare=no_bare_blocks(), strangers=())
        self._policy = _policy(audit.policy)

    @classmethod
    def of_networks(cls, audit: Audit, networks: Iterable[int]) -> Workbench:
        """Return a workbench with some networks of an audit."""
        chosen = np.zeros(len(audit.networks), bool)
        chosen[list(networks)] = True
        return cls(audit, np.flatnonzero(chosen[audit.networks.network]))

    @classmethod
    def of_edits(cls, audit: Audit, edits: Sequence[Edit]) -> Workbench:
        """Return a workbench with every network that some edits can touch.

        Raises
        ------
        UsageError
            Where an edit is in a dimension that was not read.
        """
        spots = [spot for edit in edits for spot in spots_of(edit)]
        return cls.of_networks(audit, networks_near(audit, spots))

    @cached_property
    def before(self) -> Audit:
        """The networks as they are."""
        return self._audited(self.parts, self.couplings)

    def audit_after(self, edits: Sequence[Edit]) -> Audit:
        """Carry out edits and solve and judge again.

        Raises
        ------
        UsageError
            Where an edit cannot be carried out.
        """
        made = apply_edits(self.parts, self.couplings, self._scan.coverage, edits)
        return self._audited(made.parts, made.couplings)

    def attempt(self, edits: Sequence[Edit]) -> Trial:
        """Carry out edits and tell what changes.

        Raises
        ------
        UsageError
            Where an edit cannot be carried out.
        """
        after = self.audit_after(edits)
        return trial_of(self.before, after, edits)

    def _audited(self, parts: Parts, couplings: Couplings) -> Audit:
        networks = group_networks(parts, couplings)
        solution = solve_networks(parts, couplings, networks, self._policy)
        everything = np.ones(len(networks), bool)
        findings = judge_audit(
            self._scan, parts, couplings, networks, solution, self._policy, everything
        )
        return Audit(
            policy=self._policy,
            scan=self._scan,
            parts=parts,
            couplings=couplings,
            networks=networks,
            solution=solution,
            findings=findings,
            selected=everything,
        )


def try_edits(audit: Audit, edits: Sequence[Edit]) -> Trial:
    """Try a change without touching the save.

    Parameters
    ----------
    audit
        The audit of the save.
    edits
        What to change; none changes nothing.

    Returns
    -------
    Trial
        The networks that the edits touch, before and after.

    Raises
    ------
    UsageError
        Where an edit cannot be carried out.
    """
    return Workbench.of_edits(audit, edits).attempt(edits)


def trial_of(before: Audit, after: Audit, edits: Sequence[Edit]) -> Trial:
    """Return the networks that differ, or that the edits name, before and after."""
    spots = {spot for edit in edits for spot in spots_of(edit)}
    old, new = outlines_of(before), outlines_of(after)
    named = {
        outlines[number].id
        for audit, outlines in ((before, old), (after, new))
        for number in _networks_at(audit, spots)
    }
    bare_old, bare_new = (set(map(_bare, outlines)) for outlines in (old, new))
    return Trial(
        edits=tuple(edits),
        before=tuple(one for one in old if one.id in named or _bare(one) not in bare_new),
        after=tuple(one for one in new if one.id in named or _bare(one) not in bare_old),
        audits=(before, after),
    )


def networks_near(audit: Audit, spots: Iterable[Spot]) -> list[int]:
    """Return the networks that a change at some positions can touch, ascending.

    Those with a part near enough to be coupled with one there, or linked with it.
    """
    parts, couplings = audit.parts, audit.couplings
    reach = _reach(parts.catalogues)
    near = np.zeros(len(parts), bool)
    for spot in sorted(set(spots)):
        if spot.dimension not in parts.dimensions:
            raise UsageError(f"no dimension {spot.dimension} was read")
        number = parts.dimensions.index(spot.dimension)
        low, high = np.searchsorted(parts.dimension, [number, number + 1])
        apart = np.abs(parts.xyz[low:high].astype(np.int64) - np.array(spot.at, np.int64))
        here = np.flatnonzero((apart <= reach).all(axis=1)) + low
        near[here] = True
        stood = here[(parts.xyz[here] == np.array(spot.at)).all(axis=1)]
        # Links reach far: those from and to the part, and those that aim at the place.
        for one, other in ((couplings.a, couplings.b), (couplings.b, couplings.a)):
            near[other[np.isin(one, stood)]] = True
        aims = (parts.links.towards == np.array(spot.at)).all(axis=1)
        near[parts.links.part[aims]] = True
        for towards in parts.links.towards[np.isin(parts.links.part, stood)]:
            near[low:high] |= (parts.xyz[low:high] == towards).all(axis=1)
    found: list[int] = np.unique(audit.networks.network[near]).tolist()
    return found


def _networks_at(audit: Audit, spots: Iterable[Spot]) -> set[int]:
    parts = audit.parts
    wanted = {(parts.dimensions.index(spot.dimension), *spot.at) for spot in spots}
    near = np.ones(len(parts), bool)
    for axis in range(3):
        near &= np.isin(parts.xyz[:, axis], sorted({spot[1 + axis] for spot in wanted}))
    rows = np.flatnonzero(near)
    places = np.column_stack([parts.dimension, parts.xyz])[rows].tolist()
    here = [row for row, place in zip(rows, places, strict=True) if tuple(place) in wanted]
    return set(audit.networks.network[here].tolist())


def _bare(outline: Outline) -> Outline:
    """Return an outline without what depends on how networks are numbered."""
    findings = tuple(replace(one, network=None) for one in outline.findings)
    return replace(outline, findings=findings)


def _reach(catalogues: Catalogues) -> int:
    """Return how far, along any axis, two parts can lie apart that are coupled without a link."""
    cells = [0]
    meets = [0]
    for type_ in catalogues.types:
        cells += [abs(step) for end in type_.ends for step in end.cell]
        cells += [] if type_.rim is None else [abs(step) for step in type_.rim.cell]
        meets += [abs(step) for meeting in type_.meets for step in meeting.at]
    return max(2 * max(cells) + 1, *meets)


def _policy(policy: Policy) -> Policy:
    skipped = {rule.name for rule in RULES} - JUDGED
    return replace(policy, off=policy.off | skipped, hints=False)
