"""Remedies for movers or governors that contradict each other: which to turn, set or uncouple."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from typing import Final

import numpy as np

from analyzer.advice.advice import (
    Cut,
    Edit,
    Flip,
    Proof,
    Remedy,
    RemedyKind,
    Remove,
    SetActive,
    SetNumber,
    SetProperty,
)
from analyzer.advice.edits import joint_of
from analyzer.advice.remedies.subject import Subject
from analyzer.advice.turned import turned_round
from analyzer.base.frame import POSES, sign_of
from analyzer.catalogue.bounds import FIELD_BOUNDS
from analyzer.catalogue.catalogue import ByProperty, Field, PartType, Port, Stored
from analyzer.findings.audit import Audit
from analyzer.solution.edges import find_edges
from analyzer.solution.solution import State

#: Most sets of changes of one kind that are tried, and most parts solved again for that; above,
#: what is found is not known to be least.
MOST_TRIED: Final = 600
MOST_SOLVED: Final = 100_000
#: Kinds in the order in which they are tried.
_KINDS: Final[tuple[RemedyKind, ...]] = (
    "turn-round",
    "set",
    "switch-off",
    "cut-couplings",
    "remove-parts",
)


@dataclass(frozen=True)
class _Change:
    """One edit of one part; only one of a part is made."""

    part: int
    edit: Edit


def clash_remedies(subject: Subject) -> Iterator[Remedy]:
    """Yield ways to mend a conflict by movers or governors: the least of each kind.

    To turn movers round; to set what movers or governors store, or the property that sets them; to
    switch movers off; to undo couplings at governed ports; to remove movers or governors. Of each
    kind the fewest parts, of these what gives up least.
    """
    changes = _changes(subject)
    for kind in _KINDS:
        found = _least(subject, kind, changes.get(kind, []))
        if found is not None:
            yield found


def _least(subject: Subject, kind: RemedyKind, changes: Sequence[_Change]) -> Remedy | None:
    """Return the cheapest set of changes of one kind, trying the smaller sets first."""
    parts = sorted({change.part for change in changes})
    most, tried = min(MOST_TRIED, 10 + MOST_SOLVED // len(subject.before.parts)), 0
    for count in range(1, len(parts) + 1):
        found: list[Remedy] = []
        for chosen in _iter_sets(changes, count):
            if tried == most:
                return min(found, key=lambda one: one.cost, default=None) or _by_sides(
                    subject, kind, changes, bound=count
                )
            tried += 1
            proof = Proof("enumeration", Fraction(count), Fraction(count))
            remedy = subject.remedy(
                kind, [one.edit for one in chosen], proof, lambda after: _mended(subject, after)
            )
            if remedy is not None:
                found.append(remedy)
        if found:
            return min(found, key=lambda one: one.cost)
    return None


def _iter_sets(changes: Sequence[_Change], count: int) -> Iterator[tuple[_Change, ...]]:
    """Yield sets of changes of so many parts, one each."""
    for chosen in combinations(changes, count):
        if len({one.part for one in chosen}) == count:
            yield chosen


def _by_sides(
    subject: Subject, kind: RemedyKind, changes: Sequence[_Change], *, bound: int
) -> Remedy | None:
    """Return a change of all movers of one sense, where there are too many sets to try."""
    before = subject.before
    sides: dict[bool, list[_Change]] = {}
    for change in changes:
        asked = _asked_of_root(before, change.part)
        if asked is not None:
            sides.setdefault(asked > 0, []).append(change)
    for side in sorted(sides.values(), key=len):
        first: dict[int, _Change] = {}
        for change in side:
            first.setdefault(change.part, change)
        proof = Proof("none", Fraction(len(first)), Fraction(bound))
        remedy = subject.remedy(
            kind,
            [one.edit for one in first.values()],
            proof,
            lambda after: _mended(subject, after),
        )
        if remedy is not None:
            return remedy
    return None


def _mended(subject: Subject, after: Audit) -> bool:
    """Tell whether the conflict is gone and a mover drives what is left of the zone."""
    before = subject.before
    zone = {before.parts.block_at(part) for part in _zone_parts(subject)}
    alive = any(
        after.parts.block_at(part) in zone
        for part in np.flatnonzero(
            after.solution.active & (after.solution.state[after.networks.network] != State.IDLE)
        ).tolist()
    )
    governed = subject.finding.rule == "governor-conflict" or subject.finding.names
    places = None if governed else zone
    return subject.rule_gone(after, places) and (alive or bool(governed))


def _zone_parts(subject: Subject) -> list[int]:
    """Return the parts of the zone where the finding is."""
    before = subject.before
    at = subject.finding.at
    here = [row for row in range(len(before.parts)) if before.parts.block_at(row) == at]
    zone = before.networks.zone[here[0]]
    found: list[int] = np.flatnonzero(before.networks.zone == zone).tolist()
    return found


def _changes(subject: Subject) -> dict[RemedyKind, list[_Change]]:
    """Return the single changes that could have part in a remedy, by kind."""
    before = subject.before
    found: dict[RemedyKind, list[_Change]] = {}

    def add(kind: RemedyKind, part: int, edit: Edit) -> None:
        found.setdefault(kind, []).append(_Change(part, edit))

    for part in _parties(subject):
        spot, type_ = subject.spot(part), _type_of(before, part)
        state = before.parts.states[int(before.parts.state[part])]
        if type_.role == "mover":
            if turned_round(type_, state) is not None:
                add("turn-round", part, Flip(spot))
            if type_.active is not None:
                add("switch-off", part, SetActive(spot, False))
        field = Field.RATED_RPM if type_.role == "mover" else Field.SET_RPM
        for edit in _settings(subject, part, field):
            add("set", part, edit)
        add("remove-parts", part, Remove(spot))
        if type_.governor is not None:
            for number in _governed(before, part):
                add("cut-couplings", number, Cut(joint_of(before.parts, before.couplings, number)))
    return found


def _parties(subject: Subject) -> list[int]:
    """Return the movers and governors that may be at odds, ascending."""
    before = subject.before
    governors = [
        part for part in range(len(before.parts)) if _type_of(before, part).governor is not None
    ]
    movers: list[int] = np.flatnonzero(before.solution.active).tolist()
    if subject.finding.rule == "mover-conflict" and not subject.finding.names:
        zone = set(_zone_parts(subject))
        return [part for part in movers if part in zone]
    return sorted({*movers, *governors})


def _settings(subject: Subject, part: int, field: Field) -> Iterator[Edit]:
    """Yield the edits that give a mover or a governor a speed that others ask for."""
    before, type_ = subject.before, _type_of(subject.before, part)
    number = dict(type_.numbers).get(field)
    spot = subject.spot(part)
    if isinstance(number, ByProperty):
        state = before.parts.states[int(before.parts.state[part])]
        for said, _ in number.values:
            if said != state.values.get(number.property):
                yield SetProperty(spot, number.property, said)
        return
    current = before.parts.number(part, field)
    if not isinstance(number, Stored) or current is None:
        return
    sign = sign_of(POSES[int(before.parts.pose[part])][0])
    # Where a whole number is stored, another one has to be.
    whole = (current / number.scale).denominator == 1
    for value in sorted({-current, *_wishes(before, part, field)} - {current, Fraction(0)}):
        fits = not whole or (value / number.scale).denominator == 1
        if fits and FIELD_BOUNDS[field].holds(value):
            yield SetNumber(spot, field, value * sign)


def _wishes(before: Audit, part: int, field: Field) -> set[Fraction]:
    """Return the speeds at which others would have a mover turn, or a governor's port."""
    networks, number = before.networks, before.parts.number(part, field)
    if field is Field.RATED_RPM:
        own = _asked_of_root(before, part)
        if own is None or not number:
            return set()
        zone = int(networks.zone[part])
        return {asked * number / own for asked in _asked_of_zone(before, zone)}
    governed, found = before.couplings.governed, set()
    for row in np.flatnonzero(governed.part == part).tolist():
        other, port = int(governed.other[row]), int(governed.port[row])
        factor = before.parts.number(part, Field(port)) if port < Port.RIM else Fraction(1)
        potential = networks.potentials[int(networks.potential[other])]
        per_set = before.couplings.ratios[int(governed.ratio[row])] / potential
        if factor:
            zone = int(networks.zone[other])
            found |= {asked / per_set * abs(factor) for asked in _asked_of_zone(before, zone)}
    return found | {-speed for speed in found}


def _asked_of_zone(before: Audit, zone: int) -> set[Fraction]:
    """Return the speeds that movers and governors ask of a zone's root, in rpm."""
    networks = before.networks
    movers = np.flatnonzero(before.solution.active & (networks.zone == zone)).tolist()
    asked = {_asked_of_root(before, mover) for mover in movers}
    in_range = np.ones(len(networks.root), bool)
    asked |= {
        edge.root_rpm
        for edge in find_edges(before.parts, before.couplings, networks, in_range)
        if edge.driven == zone
    }
    return {speed for speed in asked if speed is not None}


def _governed(before: Audit, part: int) -> list[int]:
    governed = before.couplings.governed
    rows: list[int] = np.flatnonzero(governed.part == part).tolist()
    return [len(before.couplings) + row for row in rows]


def _asked_of_root(before: Audit, part: int) -> Fraction | None:
    """Return the speed that an active mover asks of its zone's root, in rpm."""
    if not before.solution.active[part]:
        return None
    rated = before.parts.number(part, Field.RATED_RPM)
    networks = before.networks
    return None if rated is None else rated / networks.potentials[int(networks.potential[part])]


def _type_of(before: Audit, part: int) -> PartType:
    return before.parts.catalogues.types[int(before.parts.type[part])]
