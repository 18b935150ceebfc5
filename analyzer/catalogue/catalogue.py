"""A catalogue: what each block does in a drive, exactly and in the part's own frame."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from typing import Literal, TypeAlias

from analyzer.base.policy import UnequalMovers

Role: TypeAlias = Literal["mover", "machine", "transmission"]
Placement: TypeAlias = Literal["beside", "diagonal", "crossed"]
RimKind: TypeAlias = Literal["near", "far"]
#: Steps from a block entity's root to a stored number: compound keys and list indices.
DataPath: TypeAlias = tuple[str | int, ...]


class Field(IntEnum):
    """Numbers that a part may have. END_0 to END_5 are the factors of its ends by own side."""

    END_0 = 0
    END_1 = 1
    END_2 = 2
    END_3 = 3
    END_4 = 4
    END_5 = 5
    TEETH = 6
    RATED_RPM = 7
    TORQUE = 8
    ACTIVE = 9


@dataclass(frozen=True)
class Constant:
    """A number that is the same for every block of the type."""

    value: Fraction


@dataclass(frozen=True)
class ByProperty:
    """A number that depends on one block property: (value of the property, number) pairs."""

    property: str
    values: tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True)
class Stored:
    """A number kept in the block entity: read at `path`, then times `scale`; absent: `default`."""

    path: DataPath
    scale: Fraction = Fraction(1)
    default: Fraction | None = None


Number: TypeAlias = Constant | ByProperty | Stored


@dataclass(frozen=True)
class PoseByFacing:
    """Front = the face that a property names (north, south, east, west, up, down)."""

    property: str


@dataclass(frozen=True)
class PoseByAxis:
    """Front = the positive direction of the axis (x, y, z) that a property names."""

    property: str


@dataclass(frozen=True)
class PoseFixed:
    """The same pose for every block of the type."""

    pose: int


@dataclass(frozen=True)
class PoseByCases:
    """The first case whose properties all match gives the pose: ((property, value) pairs, pose)."""

    cases: tuple[tuple[tuple[tuple[str, str], ...], int], ...]


PoseRule: TypeAlias = PoseByFacing | PoseByAxis | PoseFixed | PoseByCases


@dataclass(frozen=True)
class Rim:
    """The toothed edge of a type, about its own axis (own front)."""

    kind: RimKind
    teeth: Number
    placements: frozenset[Placement]


@dataclass(frozen=True)
class PartType:
    """One entry of a catalogue.

    Parameters
    ----------
    block
        Block name; the key of the entry.
    source
        Index of its catalogue in `Catalogues.sources`.
    role
        What it is in a drive.
    entities
        Ids of the block entities that carry it; empty for a type without one.
    pose
        How a block's properties give its pose.
    ends
        (own side, factor) of each end, by side. A factor is the end's turn about the outward
        normal of its face per turn of the part about its front; never zero.
    rim
        Its toothed edge, if any.
    rated_rpm, torque, active
        Movers have the first two, machines torque; `active` (movers only, None = always):
        zero means not active. A rated speed is signed about the front.
    speed_limit_rpm
        Highest speed allowed, the limit itself included; None without a limit. The catalogue's
        general limit is already applied.
    fits
        Class within which its ends and rim couple.
    """

    block: str
    source: int
    role: Role
    entities: tuple[str, ...]
    pose: PoseRule
    ends: tuple[tuple[int, Number], ...]
    rim: Rim | None
    rated_rpm: Number | None
    torque: Number | None
    active: Number | None
    speed_limit_rpm: Fraction | None
    fits: str

    @property
    def numbers(self) -> tuple[tuple[Field, Number], ...]:
        """Every number of the type with its field, by field."""
        found: list[tuple[Field, Number]] = [(Field(side), factor) for side, factor in self.ends]
        if self.rim is not None:
            found.append((Field.TEETH, self.rim.teeth))
        for field, number in (
            (Field.RATED_RPM, self.rated_rpm),
            (Field.TORQUE, self.torque),
            (Field.ACTIVE, self.active),
        ):
            if number is not None:
                found.append((field, number))
        return tuple(found)


@dataclass(frozen=True)
class Source:
    """One catalogue as a whole."""

    title: str
    namespace: str
    version: str
    licence: str
    power_unit: str
    speed_limit_rpm: Fraction | None
    unequal_movers: UnequalMovers
    types: int


@dataclass(frozen=True)
class Catalogues:
    """Every catalogue loaded for a run.

    Parameters
    ----------
    sources
        The catalogues in the order given.
    types
        All entries sorted by block name; block names are unique.
    """

    sources: tuple[Source, ...]
    types: tuple[PartType, ...]

    @property
    def power_unit(self) -> str:
        """The unit label of power: that of the sources if they agree, else ``power``."""
        labels = {source.power_unit for source in self.sources}
        return labels.pop() if len(labels) == 1 else "power"
