"""What no network of an assembly exceeds in any state of its switches and movers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.base.tables import unique_rows
from analyzer.catalogue.catalogue import Field
from analyzer.networks.networks import Networks
from analyzer.switching.subject import Subject, join_all
from analyzer.switching.switching import Bound

#: Most pairs of parts in a zone whose ratios disagree by magnitude for a bound to be sought.
_MOST_TWISTED: Final = 64
#: Most doublings between the slowest and the fastest part of a zone for a bound to be sought.
_MOST_DOUBLINGS: Final = 512


@dataclass(frozen=True, eq=False)
class Reach:
    """How far speeds can lie apart in any state.

    Parameters
    ----------
    joined
        The subject's parts as if every coupling of every state held.
    slack
        For each zone of those, by how much a speed can exceed what the potentials say, at least 1;
        None where that is not bounded.
    doublings
        Doublings between the slowest and the fastest part, at most, of each zone; infinite where
        not bounded.
    """

    joined: Networks
    slack: tuple[Fraction | None, ...]
    doublings: tuple[float, ...]


def find_reach(subject: Subject) -> Reach:
    """Find how far speeds can lie apart in any state.

    Notes
    -----
    In any state a part's speed is a mover's or a governor's times the ratios along some path on
    which no two parts come twice. Along the spanning tree they multiply to the quotient of the
    potentials; each other coupling on the path multiplies its own twist to that, at most once a
    pair of parts. So the product of all twists, each taken as above 1, bounds what they can do.
    """
    joined = join_all(subject.parts, subject.couplings)
    zones = len(joined.root)
    twists: list[dict[tuple[int, int], Fraction]] = [{} for _ in range(zones)]
    couplings = subject.couplings
    for row in joined.disagreeing.tolist():
        a, b = int(couplings.a[row]), int(couplings.b[row])
        of_zone = twists[int(joined.zone[a])]
        if len(of_zone) <= _MOST_TWISTED:
            twist = abs(couplings.ratios[int(couplings.ratio[row])]) * _per(joined, a, b)
            of_zone[a, b] = max(of_zone.get((a, b), Fraction(1)), twist, 1 / twist)
    bits = joined.potentials.log2()[joined.potential]
    high, low = np.zeros(zones), np.zeros(zones)
    np.maximum.at(high, joined.zone, bits)
    np.minimum.at(low, joined.zone, bits)
    slack: list[Fraction | None] = []
    doublings = []
    for own, spread in zip(twists, (high - low).tolist(), strict=True):
        known = len(own) <= _MOST_TWISTED and spread <= _MOST_DOUBLINGS
        slack.append(math.prod(own.values(), start=Fraction(1)) if known else None)
        wide = sum(math.log2(twist) for twist in own.values()) if known else math.inf
        doublings.append(float(spread) + 2 * wide)
    return Reach(joined, tuple(slack), tuple(doublings))


def find_bounds(subject: Subject, reach: Reach) -> Bound:
    """Find what no network of the subject exceeds in any state.

    Parameters
    ----------
    subject
        Parts of one assembly; without a mover the bounds are 0.
    reach
        How far its speeds can lie apart.

    Returns
    -------
    Bound
        Every machine is taken to turn as fast as the fastest mover or governor of any state would
        turn it, every mover to drive as hard as any of its settings allows.
    """
    joined = reach.joined
    fastest: dict[int, Fraction] = {}
    for part, rpm in _iter_sources(subject):
        zone = int(joined.zone[part])
        if reach.slack[zone] is not None:
            root = rpm / abs(joined.potentials[int(joined.potential[part])])
            fastest[zone] = max(fastest.get(zone, Fraction(0)), root)
        else:
            fastest[zone] = Fraction(-1)
    unknown = any(root < 0 for root in fastest.values())
    factor = {
        zone: root * (reach.slack[zone] or 0) for zone, root in fastest.items() if not unknown
    }
    return Bound(
        demand=None if unknown else _demand(subject, joined, factor),
        capacity=_capacity(subject),
        speed=None if unknown else _speed(joined, factor),
    )


def _demand(subject: Subject, joined: Networks, factor: dict[int, Fraction]) -> Fraction:
    of_type = [entry.role == "machine" for entry in subject.parts.catalogues.types]
    machines = np.flatnonzero(np.array(of_type, bool)[subject.parts.type])
    torque = subject.parts.column(Field.TORQUE)[machines]
    rows, row = unique_rows(torque, joined.zone[machines], joined.potential[machines])
    counts = np.bincount(row, minlength=len(rows)).tolist()
    numbers, potentials = subject.parts.numbers, joined.potentials
    total = Fraction(0)
    for (number, zone, potential), count in zip(rows.tolist(), counts, strict=True):
        if zone in factor and number >= 0:
            total += count * numbers[number] * factor[zone] * abs(potentials[potential])
    for part, torques in _iter_set(subject, Field.TORQUE):
        zone = int(joined.zone[part])
        if of_type[int(subject.parts.type[part])] and zone in factor:
            # Instead of what it asks for as the save holds it, the most that it can.
            more = max(torques) - torques[0]
            total += more * factor[zone] * abs(potentials[int(joined.potential[part])])
    return total


def _speed(joined: Networks, factor: dict[int, Fraction]) -> Fraction:
    rows, _ = unique_rows(joined.zone, joined.potential)
    speeds = [
        factor[zone] * abs(joined.potentials[potential])
        for zone, potential in rows.tolist()
        if zone in factor
    ]
    return max(speeds, default=Fraction(0))


def _capacity(subject: Subject) -> Fraction:
    return sum((rpm * torque for _, rpm, torque in _iter_movers(subject)), Fraction(0))


def _iter_sources(subject: Subject) -> Iterator[tuple[int, Fraction]]:
    """Yield the parts that movers and governors turn, with the most that they can ask for."""
    for part, rpm, _ in _iter_movers(subject):
        yield part, rpm
    table = subject.couplings.governed
    most = {part: max(map(abs, values)) for part, values in _iter_set(subject, Field.SET_RPM)}
    for row in np.flatnonzero(table.drives).tolist():
        part, port = int(table.part[row]), int(table.port[row])
        set_rpm = most.get(part, subject.parts.number(part, Field.SET_RPM))
        factor = subject.parts.number(part, Field(port)) if port < Field.TEETH else Fraction(1)
        if set_rpm is not None and factor is not None:
            ratio = subject.couplings.ratios[int(table.ratio[row])]
            yield int(table.other[row]), abs(set_rpm / factor * ratio)


def _iter_movers(subject: Subject) -> Iterator[tuple[int, Fraction, Fraction]]:
    """Yield each mover that drives in some state, with the most of its speed and torque."""
    parts = subject.parts
    of_type = np.array([entry.role == "mover" for entry in parts.catalogues.types], bool)
    rates, torques = (
        {part: max(map(abs, values)) for part, values in _iter_set(subject, field)}
        for field in (Field.RATED_RPM, Field.TORQUE)
    )
    for part in np.flatnonzero(of_type[parts.type]).tolist():
        rpm = rates.get(part, parts.number(part, Field.RATED_RPM))
        torque = torques.get(part, parts.number(part, Field.TORQUE))
        if rpm and torque is not None:
            yield part, abs(rpm), torque


def _iter_set(subject: Subject, field: Field) -> Iterator[tuple[int, list[Fraction]]]:
    """Yield the parts whose levers give them a number, with its values; the save's first."""
    for lever in subject.levers.values():
        values = [dict(setting.numbers).get(field) for setting in lever.settings]
        numbers = [value for value in values if value is not None]
        if numbers:
            yield lever.part, numbers


def _per(joined: Networks, a: int, b: int) -> Fraction:
    """Return the potential of a per potential of b."""
    of_a, of_b = (joined.potentials[int(joined.potential[part])] for part in (a, b))
    return of_a / of_b
