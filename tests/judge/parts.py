"""What a part is made of, with everything in world directions."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from tests.judge.placed import Place, Placement
from tests.judge.stored import Tagged
from tests.judge.vectors import Vector, add


@dataclass(frozen=True)
class End:
    """An end: own side, outward normal, cell (from the part's block), factor."""

    side: str
    normal: Vector
    cell: Vector
    factor: Fraction


@dataclass(frozen=True)
class Rim:
    kind: str
    teeth: Fraction
    placements: frozenset[str]
    cell: Vector


@dataclass(frozen=True)
class Meeting:
    """An own offset: where the other's block is, and the contact, from the part's block.

    `ratio` is None for a toothed one, `contact` for one of parallel axes.
    """

    at: Vector
    types: frozenset[str]
    ratio: Fraction | None
    contact: Vector | None


@dataclass(frozen=True)
class Link:
    """`partner` is the position named, or None; `diameter` None where it cannot be used."""

    crossed: bool
    diameter: Fraction | None
    partner: Vector | None


@dataclass(frozen=True)
class Switch:
    kind: str
    ports: frozenset[str]
    on: bool


@dataclass(frozen=True)
class Governor:
    """`set_rpm` is about the front, None where it cannot be used."""

    port: str
    set_rpm: Fraction | None
    follows: bool


@dataclass(frozen=True)
class Record:
    """What is stored, and the speed about the positive axis that a stored 1 stands for."""

    stored: Tagged
    unit: Fraction


@dataclass(frozen=True)
class Part:
    """A part with everything in world directions.

    `rated`, the speed about the front, is None for what is no mover or has no usable one;
    `torque` and `least` alike. `strict`: its catalogue allows no unequal movers. `unusable` names
    the numbers that cannot be used.
    """

    placement: Placement
    role: str
    fits: str
    front: Vector
    top: Vector
    right: Vector
    ends: tuple[End, ...]
    rim: Rim | None
    meets: tuple[Meeting, ...]
    link: Link | None
    switch: Switch | None
    governor: Governor | None
    rated: Fraction | None
    torque: Fraction | None
    active: bool
    strict: bool
    limit: Fraction | None
    least: Fraction | None
    record: Record | None
    unusable: tuple[str, ...]

    @property
    def place(self) -> Place:
        return self.placement.place

    @property
    def at(self) -> Vector:
        return self.placement.at

    @property
    def axis(self) -> Vector:
        """The positive world direction of the line along which the front looks."""
        return (abs(self.front[0]), abs(self.front[1]), abs(self.front[2]))

    @property
    def sense(self) -> int:
        """1 where the front looks along the axis, -1 where it looks the other way."""
        return 1 if self.front == self.axis else -1

    def centre(self) -> Vector:
        """Return where the middle of the rim is."""
        assert self.rim is not None
        return add(self.at, self.rim.cell)
