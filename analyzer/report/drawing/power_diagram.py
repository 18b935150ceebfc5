"""A power diagram: the shafts of one network, what drives them, and what each machine asks for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from analyzer.base.place import Block
from analyzer.couplings.couplings import Kind
from analyzer.report.drawing.looks import Look
from analyzer.report.drawing.sheet import Sheet


@dataclass(frozen=True)
class Consumer:
    """Movers or machines of one look on one shaft.

    Parameters
    ----------
    look
        What they are.
    count
        How many there are.
    power
        What they give or ask for together; None where it is unknown or they do not drive.
    at
        Where the first of them is.
    """

    look: Look
    count: int
    power: Fraction | None
    at: Block


@dataclass(frozen=True)
class ShaftGroup:
    """Parts joined end to end that turn as one.

    Parameters
    ----------
    parts
        How many there are.
    at
        The first by position.
    axis
        World axis that they turn about.
    speed_rpm
        Their speed about the positive world axis, or None where they have none.
    movers, machines
        Those among them.
    """

    parts: int
    at: Block
    axis: int
    speed_rpm: Fraction | None
    movers: tuple[Consumer, ...]
    machines: tuple[Consumer, ...]


@dataclass(frozen=True)
class Transfer:
    """How one shaft drives another.

    Parameters
    ----------
    a, b
        Places of the two in `PowerDiagram.shafts`.
    kind
        How they are coupled.
    ratio
        Speed of b per speed of a; None through a governed port, which leads from a to b.
    count
        How many couplings of that kind and ratio there are.
    """

    a: int
    b: int
    kind: Kind
    ratio: Fraction | None
    count: int


@dataclass(frozen=True)
class PowerDiagram:
    """One network as shafts and the transfers between them, both in the order of positions."""

    shafts: tuple[ShaftGroup, ...]
    transfers: tuple[Transfer, ...]


def make_power_diagram(sheet: Sheet, network: int) -> PowerDiagram:
    """Return the power diagram of one network of a sheet; an empty one where it has no such part.

    Cost: linear in the parts and couplings of the sheet.
    """
    parts = sheet.parts
    members: dict[int, list[int]] = defaultdict(list)
    for place in np.flatnonzero(parts.network == network).tolist():
        members[int(parts.shaft[place])].append(place)
    number = {shaft: index for index, shaft in enumerate(members)}
    groups = tuple(_group(sheet, places) for places in members.values())
    return PowerDiagram(groups, _transfers(sheet, network, number))


def _group(sheet: Sheet, places: list[int]) -> ShaftGroup:
    parts = sheet.parts
    speed = int(parts.speed[places[0]])
    return ShaftGroup(
        parts=len(places),
        at=_at(sheet, places[0]),
        axis=int(parts.axis[places[0]]),
        speed_rpm=None if speed < 0 else sheet.speeds[speed],
        movers=_consumers(sheet, places, "mover"),
        machines=_consumers(sheet, places, "machine"),
    )


def _consumers(sheet: Sheet, places: list[int], role: str) -> tuple[Consumer, ...]:
    parts = sheet.parts
    by_look: dict[int, list[int]] = defaultdict(list)
    for place in places:
        if sheet.looks[int(parts.look[place])].role == role:
            by_look[int(parts.look[place])].append(place)
    found = []
    for look, ones in by_look.items():
        powers = [int(parts.power[one]) for one in ones if parts.power[one] >= 0]
        known = len(powers) == len(ones) or (role == "mover" and powers)
        total = sum((sheet.powers[one] for one in powers), Fraction(0))
        found.append(
            Consumer(sheet.looks[look], len(ones), total if known else None, _at(sheet, ones[0]))
        )
    return tuple(found)


def _transfers(sheet: Sheet, network: int, number: dict[int, int]) -> tuple[Transfer, ...]:
    parts, couplings = sheet.parts, sheet.couplings
    inside = np.flatnonzero(parts.network[couplings.a] == network)
    counts: dict[tuple[int, int, int, Fraction | None], int] = defaultdict(int)
    for row in inside.tolist():
        a, b = (number[int(parts.shaft[int(end[row])])] for end in (couplings.a, couplings.b))
        if a == b:
            continue
        index = int(couplings.ratio[row])
        ratio = None if index < 0 else sheet.ratios[index]
        if ratio is not None and a > b:
            a, b, ratio = b, a, 1 / ratio
        counts[a, b, int(couplings.kind[row]), ratio] += 1
    ordered = sorted(counts.items(), key=lambda item: (*item[0][:3], item[0][3] or Fraction(0)))
    return tuple(Transfer(a, b, Kind(kind), ratio, count) for (a, b, kind, ratio), count in ordered)


def _at(sheet: Sheet, place: int) -> Block:
    x, y, z = sheet.parts.xyz[place].tolist()
    return Block(x, y, z)
