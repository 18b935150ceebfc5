"""Explore the states of a save's switches and of its movers' activity."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.findings.make import fingerprint_of
from analyzer.switching.gather import MOST_WORK, survey_states
from analyzer.switching.gathered import WHOLE, Gathered, Key, Peak, least
from analyzer.switching.subject import State, Subject, find_subjects
from analyzer.switching.switching import Assembly, Switching, Worst
from analyzer.switching.tiles import Tiles, iter_tiles

#: Most states of one assembly that are solved unless the user says otherwise.
MOST_STATES: Final = 5000
#: Most findings of one assembly that are listed.
MOST_FOUND: Final = 50
#: What tells a finding of another state from the same finding of the save.
_SUBJECT: Final = "in another switch state"


def explore_switches(audit: Audit, *, most_states: int = MOST_STATES) -> Switching:
    """Explore what a save would do in other states of its switches and movers.

    Parameters
    ----------
    audit
        The audit of the save.
    most_states
        Most states to solve of one assembly. Where it has more, those close to the save's are
        looked at, and what no state exceeds is said.

    Returns
    -------
    Switching
        For each assembly with something to throw, in a network that was asked about: what is found
        in other states alone, and the greatest demand and speed. A save without switches and
        switchable movers gives none.
    """
    found = find_subjects(audit)
    assemblies = tuple(_explore(audit, subject, most_states) for subject in found.subjects)
    return Switching(assemblies, found.idle, found.fixed)


def _explore(audit: Audit, subject: Subject, most_states: int) -> Assembly:
    survey = survey_states(subject, most_states)
    confirmed = _Confirmed(audit, subject, survey.gathered)
    levers = subject.levers.values()
    types = subject.parts.catalogues.types
    movers = sum(types[int(subject.parts.type[lever.part])].role == "mover" for lever in levers)
    states = math.prod(len(lever.settings) for lever in levers) if len(levers) <= 64 else 2**65
    return Assembly(
        dimension=subject.parts.dimensions[int(subject.parts.dimension[0])],
        anchor=subject.parts.block_at(0),
        networks=tuple(np.unique(subject.network).tolist()),
        parts=len(subject.parts),
        switches=len(levers) - movers,
        movers=movers,
        states=states if states <= 2**64 else None,
        extent=survey.extent,
        pieces=survey.pieces,
        solved=survey.solved + confirmed.solved,
        demand=_worst(subject, survey.gathered.demand),
        speed=_worst(subject, survey.gathered.speed),
        bound=survey.bound,
        cut=bool(len(subject.couplings.cuts.part) or subject.parts.unusable),
        found=confirmed.found,
        more=confirmed.more,
    )


def _worst(subject: Subject, peak: Peak | None) -> Worst | None:
    if peak is None:
        return None
    return Worst(
        amount=peak.amount,
        capacity=peak.capacity,
        at=subject.parts.block_at(peak.at),
        throws=subject.throws(peak.state),
    )


class _Confirmed:
    """The findings of other states, each taken from the whole assembly solved in that state."""

    def __init__(self, audit: Audit, subject: Subject, gathered: Gathered) -> None:
        self._audit, self._subject = audit, subject
        wanted = sorted(
            (least(state), key, length) for key, (state, length) in gathered.states.items() if state
        )
        kept = wanted[: min(MOST_FOUND, max(1, MOST_WORK // len(subject.parts)))]
        self.more = len(wanted) - len(kept)
        self.solved = 0
        self.found: tuple[Finding, ...] = ()
        if kept:
            self.found = tuple(self._iter_found(kept))

    def _iter_found(self, wanted: list[tuple[tuple[int, State], Key, int]]) -> Iterator[Finding]:
        states = sorted({state for (_, state), _, _ in wanted}, key=least)
        self.solved = 1 + len(states)
        by_state: dict[State, list[tuple[Tiles, Finding, frozenset[int]]]] = {}
        for tiles in iter_tiles(self._subject, [(), *states]):
            for state, row in _iter_judged(tiles):
                by_state.setdefault(state, []).append(row)
        holding = {finding.fingerprint for _, finding, _ in by_state.get((), ())}
        told: set[tuple[State, str, str]] = set()
        for (_, state), key, length in wanted:
            rows = [
                row
                for row in by_state.get(state, ())
                if _meets(row[1], row[2], key, length, holding)
                and (state, row[1].rule, row[1].fingerprint) not in told
            ]
            rows.sort(key=lambda row: row[1].fingerprint != key[1])
            for tiles, finding, _ in rows[:1]:
                network = self._network(tiles, finding, key)
                if network is not None:
                    told.add((state, finding.rule, finding.fingerprint))
                    yield self._made(finding, state, network)

    def _network(self, tiles: Tiles, finding: Finding, key: Key) -> int | None:
        """Return the saved network that a finding is told of; None where none was asked about."""
        assert finding.network is not None, "only rules about networks are judged"
        members = tiles.networks.members(finding.network)
        saved = tiles.subject.network[members % tiles.size]
        preferred = key[2]
        if preferred < 0 and finding.at is not None:
            here = (tiles.parts.xyz[members] == np.array(finding.at)).all(axis=1)
            preferred = int(saved[here][0])
        order = [preferred, *np.unique(saved).tolist()]
        return next((one for one in order if self._audit.selected[one]), None)

    def _made(self, finding: Finding, state: State, network: int) -> Finding:
        audit = self._audit
        places: tuple[Block, ...] = (audit.parts.block_at(int(audit.networks.anchor[network])),)
        if finding.witness is not None:
            places = finding.witness.parts
        return replace(
            finding,
            certain=(
                "in another switch state"
                if finding.certain == "yes"
                else "in another switch state, as far as read"
            ),
            network=network,
            fingerprint=fingerprint_of(finding.rule, finding.dimension, places, _SUBJECT),
            throws=self._subject.throws(state),
        )


def _iter_judged(
    tiles: Tiles,
) -> Iterator[tuple[State, tuple[Tiles, Finding, frozenset[int]]]]:
    """Yield the findings of each state, with the saved networks of the movers that have part."""
    solution = tiles.solve()
    for finding in tiles.judge(solution).items:
        assert finding.network is not None, "only rules about networks are judged"
        members = tiles.networks.members(finding.network)
        active = members[solution.active[members]] % tiles.size
        saved = frozenset(tiles.subject.network[active].tolist())
        copy = int(tiles.networks.anchor[finding.network]) // tiles.size
        yield tiles.states[copy], (tiles, finding, saved)


def _meets(
    finding: Finding, saved: frozenset[int], key: Key, length: int, holding: set[str]
) -> bool:
    """Tell whether a finding is what a key stands for.

    Of several chains just as short the whole assembly may show another than a piece of it.
    """
    if finding.rule != key[0]:
        return False
    if finding.rule in WHOLE:
        return key[2] in saved
    if finding.fingerprint == key[1]:
        return True
    as_long = finding.witness is not None and len(finding.witness.parts) == length
    return as_long and finding.fingerprint not in holding
