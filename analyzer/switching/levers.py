"""Levers: block properties by which a switch or a mover is thrown, and what each value makes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import (
    ByProperty,
    Constant,
    Field,
    PartType,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
)
from analyzer.couplings.couplings import Couplings
from analyzer.parts.parts import Parts

#: Numbers that couplings do not depend on.
LOOSE: Final = frozenset(
    {Field.RATED_RPM, Field.TORQUE, Field.ACTIVE, Field.LEAST_RPM, Field.SWITCH, Field.SET_RPM}
)
#: Of those, the ones that are signed about the part's front in a catalogue.
_SIGNED: Final = (Field.RATED_RPM, Field.SET_RPM)


@dataclass(frozen=True, order=True)
class Setting:
    """One value of a property, with the numbers that it gives its part."""

    value: str
    numbers: tuple[tuple[Field, Fraction], ...]


@dataclass(frozen=True)
class Lever:
    """A property of one part that can be set.

    Parameters
    ----------
    part
        Row of the part.
    name
        The block property.
    settings
        What it can be set to, each with another effect; the first is that of the save.
    """

    part: int
    name: str
    settings: tuple[Setting, ...]

    @property
    def pinned(self) -> bool:
        """Whether it changes more than which couplings are engaged."""
        return any(field != Field.SWITCH for field, _ in self.settings[0].numbers)


@dataclass(frozen=True)
class Levers:
    """The levers that something depends on, by part; how many others, and how many are fixed."""

    items: tuple[Lever, ...]
    idle: int
    fixed: int


def find_levers(parts: Parts, couplings: Couplings, policy: Policy) -> Levers:
    """Find what can be thrown in a save.

    Parameters
    ----------
    parts, couplings
        The mechanism; no parts have no levers.
    policy
        Where it takes every mover to be active, none is switched.

    Notes
    -----
    A property counts where it says whether a switch is on or a mover active, and beyond that gives
    only numbers that couplings do not depend on.
    """
    guarded = _guarded(parts, couplings)
    items: list[Lever] = []
    idle = fixed = 0
    for number, entry in enumerate(parts.catalogues.types):
        names, stuck = _thrown(entry, policy)
        if not names and not stuck:
            continue
        rows = np.flatnonzero(parts.type == number)
        fixed += stuck * len(rows)
        for name in names:
            settings = cache(_Settings(parts, entry, name))
            for row in rows.tolist():
                found = settings(int(parts.state[row]), _sense(parts, row))
                lever = Lever(row, name, found)
                if len(found) < 2:
                    fixed += 1
                elif guarded[row] or _drives(parts, lever):
                    items.append(lever)
                else:
                    idle += 1
    return Levers(tuple(sorted(items, key=lambda one: (one.part, one.name))), idle, fixed)


class _Settings:
    """What a property of one type can be set to, seen from one state."""

    def __init__(self, parts: Parts, entry: PartType, name: str) -> None:
        self._parts = parts
        self._name = name
        self._given = [
            (field, dict(number.values))
            for field, number in entry.numbers
            if isinstance(number, ByProperty) and number.property == name
        ]

    def __call__(self, state: int, sense: int) -> tuple[Setting, ...]:
        now = self._parts.states[state].values.get(self._name, "")
        values = [now, *self._given[0][1]]
        found: dict[object, Setting] = {}
        for value in values:
            if all(value in numbers for _, numbers in self._given):
                setting = Setting(value, tuple(self._iter_numbers(value, sense)))
                found.setdefault(setting.numbers, setting)
        settings = tuple(found.values())
        return settings if settings and settings[0].value == now else ()

    def _iter_numbers(self, value: str, sense: int) -> Iterator[tuple[Field, Fraction]]:
        for field, numbers in self._given:
            number = numbers[value]
            if field in (Field.SWITCH, Field.ACTIVE):
                yield field, Fraction(bool(number))
            else:
                yield field, number * sense if field in _SIGNED else number


def _thrown(entry: PartType, policy: Policy) -> tuple[list[str], int]:
    """Return the properties of a type that can be thrown, and how many of its states are fixed."""
    switch = None if entry.switch is None else entry.switch.on
    asked = [switch, None if policy.assume_active else entry.active]
    numbers = [one for one in asked if one is not None and not isinstance(one, Constant)]
    names = {one.property for one in numbers if isinstance(one, ByProperty)}
    tight = _tight(entry)
    free = sorted(names - tight)
    return free, sum(not isinstance(one, ByProperty) or one.property in tight for one in numbers)


def _tight(entry: PartType) -> set[str]:
    """Return the properties that say more of a type than numbers couplings do not depend on."""
    found = {name for name, _ in entry.only}
    match entry.pose:
        case PoseByAxis(property=name) | PoseByFacing(property=name):
            found.add(name)
        case PoseByCases(cases=cases):
            found |= {name for wanted, _ in cases for name, _ in wanted}
    return found | {
        number.property
        for field, number in entry.numbers
        if isinstance(number, ByProperty) and field not in LOOSE
    }


def _guarded(parts: Parts, couplings: Couplings) -> npt.NDArray[np.bool_]:
    """Tell on which parts' switches some coupling depends."""
    found = np.zeros(len(parts), bool)
    table = couplings.governed
    for guard, part in (
        (couplings.guard_a, couplings.a),
        (couplings.guard_b, couplings.b),
        (table.guard_part, table.part),
        (table.guard_other, table.other),
    ):
        found[part[guard >= 0]] = True
    return found


def _drives(parts: Parts, lever: Lever) -> bool:
    """Tell whether a lever's part has a usable rating or set speed for the lever to matter."""
    if not lever.pinned:
        return False
    given = {field for field, _ in lever.settings[0].numbers}
    if given - {Field.SWITCH, Field.ACTIVE}:
        return True
    rated, torque = (parts.number(lever.part, one) for one in (Field.RATED_RPM, Field.TORQUE))
    return bool(rated) and torque is not None


def _sense(parts: Parts, row: int) -> int:
    return 1 - 2 * int(POSE_FACES[parts.pose[row], 0] & 1)
