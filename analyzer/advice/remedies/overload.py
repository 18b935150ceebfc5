"""Remedies for an overload: more movers, fewer machines, or slower ones."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import numpy as np

from analyzer.advice.advice import Alongside, Edit, Proof, Put, Remedy, Remove, SetActive
from analyzer.advice.outline import machines_of
from analyzer.advice.remedies.behind import last_needed
from analyzer.advice.remedies.bypass import bypass_state
from analyzer.advice.remedies.choose import Item, choose_items
from analyzer.advice.remedies.slower import speed_remedy
from analyzer.advice.remedies.subject import Subject
from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.solution.solution import State


def overload_remedies(subject: Subject) -> Iterator[Remedy]:
    """Yield ways to mend an overload: the cheapest of each kind, and more movers of each type."""
    yield from _more_movers(subject)
    for found in (_switch_on(subject), _fewer_machines(subject), speed_remedy(subject)):
        if found is not None:
            yield found


def _mended(subject: Subject, after: Audit) -> bool:
    """Tell whether a mover drives what is left, and nothing is overloaded or too fast."""
    errors = {one.rule for one in subject.before.findings.items}
    return (
        subject.rule_gone(after)
        and State.TURNING in after.solution.state
        and not any(
            one.rule in ("over-speed", "loop-conflict", "mover-conflict", "governor-conflict")
            and one.rule not in errors
            for one in after.findings.items
        )
    )


def _excess(subject: Subject) -> Fraction:
    assert subject.finding.measured is not None
    assert subject.finding.limit is not None
    return subject.finding.measured - subject.finding.limit


def _power(audit: Audit, part: int) -> Fraction:
    """Return what a mover gives at its rating."""
    rated, torque = (audit.parts.number(part, field) for field in (Field.RATED_RPM, Field.TORQUE))
    return abs(rated or Fraction(0)) * (torque or Fraction(0))


def _more_movers(subject: Subject) -> Iterator[Remedy]:
    """Yield how many more movers would do, for each type in use by what one of them gives."""
    before, excess = subject.before, _excess(subject)
    first: dict[tuple[int, Fraction], int] = {}
    for part in np.flatnonzero(before.solution.active).tolist():
        power = _power(before, part)
        if power:
            first.setdefault((int(before.parts.type[part]), power), part)
    best: dict[int, tuple[int, int]] = {}
    for (kind, power), part in first.items():
        count = math.ceil(excess / power)
        best[kind] = min(best.get(kind, (count, part)), (count, part))
    for count, part in sorted(best.values()):
        found = subject.remedy(
            "add-movers",
            [Alongside(subject.spot(part), count)],
            Proof("count", Fraction(count), Fraction(count)),
            lambda after: _mended(subject, after),
        )
        if found is not None:
            yield found


def _switch_on(subject: Subject) -> Remedy | None:
    """Return the fewest movers to switch on, the strongest first."""
    before, excess = subject.before, _excess(subject)
    types = before.parts.catalogues.types
    idle = [
        part
        for part in np.flatnonzero(~before.solution.active).tolist()
        if types[int(before.parts.type[part])].active is not None and _power(before, part)
    ]
    idle.sort(key=lambda part: (-_power(before, part), part))
    given = Fraction(0)
    for count, part in enumerate(idle, 1):
        given += _power(before, part)
        if given >= excess:
            edits = [SetActive(subject.spot(one), True) for one in sorted(idle[:count])]
            proof = Proof("count", Fraction(count), Fraction(count))
            return subject.remedy("switch-on", edits, proof, lambda after: _mended(subject, after))
    return None


def _fewer_machines(subject: Subject) -> Remedy | None:
    """Return the fewest machines to disconnect, and of these sets the one that gives up least.

    A machine that carries the turning on is replaced by a plain shaft where the catalogue has one
    that fits; else the machines that it alone drives are disconnected with it, and count.
    """
    before = subject.before
    needed, splits = last_needed(before, subject.engaged)
    load = _loads(before)
    carries = {*needed.values(), *splits}
    edits: dict[int, Edit] = {}
    takes_others: set[int] = set()
    for part in load:
        state = bypass_state(before, subject.engaged, part) if part in carries else None
        if state is not None:
            edits[part] = Put(subject.spot(part), state)
        elif part not in splits:
            edits[part] = Remove(subject.spot(part))
            takes_others.add(part)
    owner = _owners(needed, takes_others)
    with_it: dict[int, set[int]] = {}
    for part in edits:
        if owner.get(part, -1) >= 0:
            with_it.setdefault(owner[part], set()).add(part)
    items = [Item(part, *load[part], frozenset(with_it.get(part, ()))) for part in edits]
    chosen = choose_items(items, _excess(subject))
    if chosen is None:
        return None
    gone = set(chosen.keys)
    first = [part for part in chosen.keys if owner.get(part, -1) not in gone]
    remedy = subject.remedy(
        "disconnect-machines",
        [edits[part] for part in first],
        chosen.proof,
        lambda after: _mended(subject, after),
    )
    if remedy is None or len(remedy.lost.stopped) == len(gone):
        return remedy
    # On a ring two machines may leave others without a drive that neither alone would.
    by_count = chosen.proof.found == len(gone)
    bound = chosen.proof.bound if by_count else Fraction(len(gone))
    proof = Proof("none", Fraction(len(remedy.lost.stopped)), bound)
    return replace(remedy, proof=proof)


def _loads(before: Audit) -> dict[int, tuple[Fraction, Fraction]]:
    """Return power and speed of each machine that turns, or would."""
    load = {}
    for part in np.flatnonzero(machines_of(before.parts)).tolist():
        speed, torque = before.solution.speed_rpm(part), before.parts.number(part, Field.TORQUE)
        if speed:
            load[part] = (abs(speed) * (torque or Fraction(0)), abs(speed))
    return load


def _owners(needed: dict[int, int], takes_others: set[int]) -> dict[int, int]:
    """Return the last of some parts without which each part stands still; -1 for none."""
    owner: dict[int, int] = {}
    for part in _outwards(needed):
        before = needed[part]
        owner[part] = before if before in takes_others else owner.get(before, -1)
    return owner


def _outwards(needed: dict[int, int]) -> list[int]:
    """Return the parts so that each comes after what it needs."""
    behind: dict[int, list[int]] = {}
    for part, before in needed.items():
        behind.setdefault(before, []).append(part)
    order = list(behind.get(-1, ()))
    for part in order:
        order += behind.get(part, ())
    return order
