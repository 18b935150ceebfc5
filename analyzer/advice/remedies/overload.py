"""Remedies for an overload: more movers, fewer machines, or slower ones."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

import numpy as np

from analyzer.advice.advice import Alongside, Edit, Proof, Put, Remedy, Remove, SetActive
from analyzer.advice.outline import machines_of
from analyzer.advice.remedies.behind import parts_behind
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
    behind, splits = parts_behind(before, subject.engaged)
    load: dict[int, tuple[Fraction, Fraction]] = {}
    for part in np.flatnonzero(machines_of(before.parts)).tolist():
        speed, torque = before.solution.speed_rpm(part), before.parts.number(part, Field.TORQUE)
        if speed and torque:
            load[part] = (abs(speed) * torque, abs(speed))
        elif speed:
            load[part] = (Fraction(0), abs(speed))
    edits: dict[int, Edit] = {}
    items: list[Item] = []
    for part, (power, rpm) in load.items():
        with_it = [other for other in behind.get(part, ()) if other in load]
        carries = bool(behind.get(part)) or part in splits
        state = bypass_state(before, subject.engaged, part) if carries else None
        if state is not None:
            edits[part] = Put(subject.spot(part), state)
            items.append(Item(part, power, rpm))
        elif part not in splits:
            edits[part] = Remove(subject.spot(part))
            both = [load[other] for other in (part, *with_it)]
            gain, loss = (sum(column, Fraction(0)) for column in zip(*both, strict=True))
            items.append(Item(part, gain, loss, frozenset(with_it), count=1 + len(with_it)))
    chosen = choose_items(items, _excess(subject))
    if chosen is None:
        return None
    return subject.remedy(
        "disconnect-machines",
        [edits[part] for part in chosen.keys],
        chosen.proof,
        lambda after: _mended(subject, after),
    )
