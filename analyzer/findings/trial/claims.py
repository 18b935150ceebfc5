"""What each coupling's ratio rests on: the entries of the catalogue that its claim is made of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.frame_tables import POSE_FACES
from analyzer.base.tables import Interner, unique_rows
from analyzer.catalogue.catalogue import ByProperty, Number, PartType, Port
from analyzer.couplings.couplings import Couplings, Kind
from analyzer.findings.trial.listing import listing_of
from analyzer.findings.trial.trial import Charge
from analyzer.parts.parts import Parts

_Ints: TypeAlias = npt.NDArray[np.int64]

#: Charges that can only be a sense that is wrong.
SENSES: Final[frozenset[Charge]] = frozenset({"crossed", "contact", "switch", "about"})
#: Charges whose number is above 0, so that no sense can be wrong.
SIZES: Final[frozenset[Charge]] = frozenset({"teeth", "diameter"})
#: The numbers of both sides that a ratio of each kind rests on.
_NUMBER_OF_KIND: Final[dict[Kind, Charge | None]] = {
    Kind.SHAFT: "factor",
    Kind.MESH: "teeth",
    Kind.LINK: "diameter",
    Kind.OFFSET: "teeth",
}


@dataclass(frozen=True, order=True)
class Key:
    """One number or sense of one type that ratios rest on.

    Parameters
    ----------
    charge
        What it is.
    type
        Number of the type.
    port
        Its side, or the number of the own offset; -1 where neither matters.
    value
        Value of the property that gives the number; empty for any other number.
    """

    charge: Charge
    type: int
    port: int = -1
    value: str = ""


@dataclass(frozen=True)
class Claim:
    """What the ratio of some couplings rests on.

    Parameters
    ----------
    factors
        (key, exponent): if what a key stands for were m times as great, or of the sense m, the
        ratio would be m ** exponent times as great.
    """

    factors: tuple[tuple[Key, int], ...]

    def times(self, corrections: dict[Key, Fraction]) -> Fraction:
        """Return by how much corrections of keys multiply the ratio."""
        product = Fraction(1)
        for key, exponent in self.factors:
            if key in corrections:
                product *= corrections[key] ** exponent
        return product


def claims_of(
    parts: Parts, couplings: Couplings, rows: _Ints
) -> tuple[tuple[Claim, ...], npt.NDArray[np.int64]]:
    """Return the distinct claims of some couplings, and the number of each coupling's claim.

    Parameters
    ----------
    parts, couplings
        All of them.
    rows
        The couplings asked about, by number, int64, shape (m,); none gives no claims.
    """
    a, b = couplings.a[rows].astype(np.int64), couplings.b[rows].astype(np.int64)
    sides = _Sides(parts)
    side_a = sides.of(a, couplings.port_a[rows], couplings.guard_a[rows])
    side_b = sides.of(b, couplings.port_b[rows], couplings.guard_b[rows])
    listing = listing_of(parts, couplings, rows)
    kind = couplings.kind[rows].astype(np.int64)
    distinct, number = unique_rows(side_a, side_b, kind, listing)
    claims: Interner[Claim] = Interner()
    of_row = [
        claims(_claim(parts, sides.items[one], sides.items[two], Kind(by), listed))
        for one, two, by, listed in distinct.tolist()
    ]
    return claims.items, np.array(of_row, np.int64)[number]


@dataclass(frozen=True)
class _Side:
    """One side of a coupling: type, port, property's value, and two things about senses.

    `flipped` says that the port is one that a reverser flips and that it is on; `backward` that
    the part's front looks along a negative axis.
    """

    type: int
    port: int
    value: str
    flipped: bool
    backward: bool


class _Sides:
    """Numbers equal sides alike."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._known: Interner[_Side] = Interner()

    @property
    def items(self) -> tuple[_Side, ...]:
        return self._known.items

    def of(self, rows: _Ints, port: npt.NDArray[np.int8], guard: npt.NDArray[np.int8]) -> _Ints:
        """Return the number of the side of each part with its port and guard."""
        parts = self._parts
        backward = POSE_FACES[parts.pose[rows], 0] & 1
        distinct, number = unique_rows(parts.type[rows], port, parts.state[rows], guard, backward)
        of_row = [self._side(*row) for row in distinct.tolist()]
        return np.array(of_row, np.int64)[number]

    def _side(self, type_: int, port: int, state: int, guard: int, backward: int) -> int:
        entry = self._parts.catalogues.types[type_]
        number = number_of_port(entry, port)
        value = ""
        if isinstance(number, ByProperty):
            value = f"{number.property}={self._parts.states[state].values.get(number.property)}"
        flips = entry.switch is not None and entry.switch.kind == "reverser"
        return self._known(_Side(type_, port, value, flips and guard == 1, bool(backward)))


def number_of_port(entry: PartType, port: int) -> Number | None:
    """Return the number of a type's port that ratios rest on: factor, teeth or diameter."""
    if port == Port.LINK:
        return None if entry.link is None else entry.link.diameter
    if port in (Port.RIM, Port.OFFSET):
        return None if entry.rim is None else entry.rim.teeth
    return next((end.factor for end in entry.ends if end.side == port), None)


def _claim(parts: Parts, a: _Side, b: _Side, kind: Kind, listing: int) -> Claim:
    total: dict[Key, int] = {}
    for key, exponent in _factors(parts, a, b, kind, listing):
        total[key] = total.get(key, 0) + exponent
    kept = (
        (key, exponent % 2 if key.charge in SENSES else exponent) for key, exponent in total.items()
    )
    return Claim(tuple(sorted((key, exponent) for key, exponent in kept if exponent)))


def _factors(
    parts: Parts, a: _Side, b: _Side, kind: Kind, listing: int
) -> Iterator[tuple[Key, int]]:
    """Yield (key, exponent) of all that a coupling's ratio rests on, repetitions included."""
    charge = _NUMBER_OF_KIND[kind]
    if kind == Kind.OFFSET:
        lister, sign = (b, -1) if listing & 1 else (a, 1)
        number = listing >> 1
        if parts.catalogues.types[lister.type].meets[number].ratio is None:
            yield Key("contact", lister.type, number), 1
        else:
            yield Key("ratio", lister.type, number), sign
            charge = None
    for side, exponent, bit in ((a, 1, 1), (b, -1, 2)):
        yield Key("unit", side.type), exponent
        if side.backward:
            yield Key("about", side.type), 1
        if side.flipped:
            yield Key("switch", side.type), 1
        if kind == Kind.LINK and listing & bit:
            yield Key("crossed", side.type), 1
        if charge is not None:
            port = side.port if charge == "factor" else -1
            yield Key(charge, side.type, port, side.value), exponent
