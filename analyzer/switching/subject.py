"""What is explored: some parts with all that couples them in any state, and their levers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.policy import Policy
from analyzer.base.tables import frozen
from analyzer.couplings.couplings import Couplings
from analyzer.couplings.excerpt import Rows, excerpt_couplings, excerpt_parts
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Throw
from analyzer.findings.registry import RULES
from analyzer.networks.group import group_networks
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.scan.bare import no_bare_blocks
from analyzer.save.scan.scan import Scan
from analyzer.switching.levers import Lever, find_levers

#: A state: (lever, setting) of those that are not as the save holds them, ascending.
State: TypeAlias = tuple[tuple[int, int], ...]

#: The rules that are judged in other states: the errors about networks that turn, or do not.
JUDGED = frozenset(
    {
        "governor-conflict",
        "loop-conflict",
        "mover-conflict",
        "out-of-range",
        "over-speed",
        "overload",
    }
)


@dataclass(frozen=True, eq=False)
class Subject:
    """Some parts of a save and what can be thrown among them.

    Parameters
    ----------
    parts, couplings
        The parts, and what couples them in any state.
    network
        Network of each part as the save is, by number in the audit.
    levers
        Levers by their number in the whole; their parts are rows of `parts`.
    scan, policy
        What the judging needs; the rules about other things are off.
    """

    parts: Parts
    couplings: Couplings
    network: npt.NDArray[np.int32]
    levers: Mapping[int, Lever]
    scan: Scan
    policy: Policy

    @cached_property
    def guarded_pairs(self) -> Mapping[int, set[tuple[int, int]]]:
        """The pairs of parts whose couplings depend on each part's switch, smaller part first."""
        found: dict[int, set[tuple[int, int]]] = {}
        couplings, table = self.couplings, self.couplings.governed
        for guards, of, other in (
            (couplings.guard_a, couplings.a, couplings.b),
            (couplings.guard_b, couplings.b, couplings.a),
            (table.guard_part, table.part, table.other),
            (table.guard_other, table.other, table.part),
        ):
            rows = np.flatnonzero(guards >= 0)
            for part, one in zip(of[rows].tolist(), other[rows].tolist(), strict=True):
                found.setdefault(part, set()).add((min(part, one), max(part, one)))
        return found

    @property
    def limits(self) -> tuple[Fraction | None, ...]:
        """The speed limit of each type in rpm: the user's, else the catalogue's."""
        of_all = self.policy.speed_limit_rpm
        types = self.parts.catalogues.types
        return tuple(entry.speed_limit_rpm if of_all is None else of_all for entry in types)

    def excerpt(self, rows: Rows, levers: Sequence[int] | None = None) -> Subject:
        """Return a subject of some parts, ascending, with some of the levers among them, or all."""
        number = np.full(len(self.parts), -1, np.int64)
        number[rows] = np.arange(len(rows))
        chosen = [
            key
            for key, lever in self.levers.items()
            if number[lever.part] >= 0 and (levers is None or key in levers)
        ]
        return replace(
            self,
            parts=excerpt_parts(self.parts, rows),
            couplings=excerpt_couplings(self.couplings, len(self.parts), rows),
            network=frozen(self.network[rows]),
            levers={
                key: replace(self.levers[key], part=int(number[self.levers[key].part]))
                for key in chosen
            },
        )

    def throws(self, state: State) -> tuple[Throw, ...]:
        """Return a state as what to set."""
        found = []
        for key, setting in state:
            lever = self.levers[key]
            found.append(
                Throw(
                    at=self.parts.block_at(lever.part),
                    block=self.parts.catalogues.types[int(self.parts.type[lever.part])].block,
                    property=lever.name,
                    value=lever.settings[setting].value,
                    before=lever.settings[0].value,
                )
            )
        return tuple(found)


@dataclass(frozen=True, eq=False)
class Found:
    """The subjects of a save: one an assembly with a lever that was asked about."""

    subjects: tuple[Subject, ...]
    idle: int
    fixed: int


def find_subjects(audit: Audit) -> Found:
    """Find what there is to explore in a save, by dimension and position."""
    levers = find_levers(audit.parts, audit.couplings, audit.policy)
    networks = join_all(audit.parts, audit.couplings)
    asked = np.zeros(len(networks), bool)
    asked[networks.network[audit.selected[audit.networks.network]]] = True
    thrown = np.zeros(len(networks), bool)
    thrown[[int(networks.network[lever.part]) for lever in levers.items]] = True
    chosen = np.flatnonzero(asked & thrown)
    rows = np.flatnonzero((asked & thrown)[networks.network])
    whole = Subject(
        parts=audit.parts,
        couplings=audit.couplings,
        network=audit.networks.network,
        levers=dict(enumerate(levers.items)),
        scan=replace(audit.scan, leftovers=Leftovers(), bare=no_bare_blocks(), strangers=()),
        policy=judging_policy(audit.policy),
    )
    label = np.searchsorted(chosen, networks.network[rows])
    subjects = _iter_apart(whole.excerpt(rows), label) if len(rows) else iter(())
    return Found(tuple(subjects), levers.idle, levers.fixed)


def judging_policy(policy: Policy) -> Policy:
    """Return the user's decisions with no rule on but those that are judged in other states."""
    off = {rule.name for rule in RULES} - JUDGED
    return replace(policy, off=policy.off | off, hints=False)


def join_all(parts: Parts, couplings: Couplings) -> Networks:
    """Group parts as if every coupling of every state held at once, ratios by magnitude alone.

    No state flips more than signs, so that potentials are true in every state as far as no two
    couplings disagree by magnitude.
    """
    governed = couplings.governed
    anyway = frozen(np.full(len(couplings), -1, np.int8))
    anyhow = frozen(np.full(len(governed.part), -1, np.int8))
    ratios = couplings.ratios
    joined = replace(
        couplings,
        guard_a=anyway,
        guard_b=anyway,
        ratios=replace(ratios, sign=frozen(np.abs(ratios.sign))),
        governed=replace(governed, guard_part=anyhow, guard_other=anyhow),
    )
    return group_networks(parts, joined)


def _iter_apart(subject: Subject, label: npt.NDArray[np.int64]) -> Iterator[Subject]:
    """Yield the assemblies of a subject one by one, halving them, so that none is copied often."""
    low, high = int(label.min()), int(label.max())
    if low == high:
        # Numbered anew, so that states of one assembly do not depend on what else there is.
        levers = dict(enumerate(subject.levers.values()))
        yield replace(subject, levers=levers)
        return
    middle = (low + high) // 2
    for chosen in (label <= middle, label > middle):
        yield from _iter_apart(subject.excerpt(np.flatnonzero(chosen)), label[chosen])
