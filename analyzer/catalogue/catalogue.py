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
#: Steps along a part's own front, top and right.
Cell: TypeAlias = tuple[int, int, int]
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
    LEAST_RPM = 10
    DIAMETER = 11
    SWITCH = 12
    SET_RPM = 13
    RECORDED_RPM = 14
    PARTNER = 15


class Port(IntEnum):
    """Where a part can be coupled; ports 0 to 5 are its ends by own side."""

    FRONT = 0
    BACK = 1
    TOP = 2
    BOTTOM = 3
    RIGHT = 4
    LEFT = 5
    RIM = 6
    LINK = 7
    OFFSET = 8

    def __str__(self) -> str:
        """Write the port as it stands in catalogues and output."""
        return self.name.lower()


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
class End:
    """An end on an own side, of the part's own cell or of another one that it fills."""

    side: int
    factor: Number
    cell: Cell = (0, 0, 0)


@dataclass(frozen=True)
class Rim:
    """The toothed edge of a type, about its own axis (own front)."""

    kind: RimKind
    teeth: Number
    placements: frozenset[Placement]
    cell: Cell = (0, 0, 0)


@dataclass(frozen=True)
class Meeting:
    """An offset of a type's own at which it couples with parts of other types.

    Parameters
    ----------
    at
        Where the other part's block lies, from this one's.
    types
        Block names of the types it meets there.
    ratio
        Speed of the other per speed of this, positive where both turn the same way; only parallel
        axes couple. None: toothed, by the teeth of both rims.
    contact
        Cell of the contact of a toothed meeting whose axes meet at a right angle; None: a toothed
        meeting of parallel axes.
    """

    at: Cell
    types: tuple[str, ...]
    ratio: Fraction | None
    contact: Cell | None


@dataclass(frozen=True)
class Partner:
    """Where a part keeps the position of the part it is linked with.

    Parameters
    ----------
    form
        ``named``: three numbers under `names` in the compound at `path`; ``list``: an array or
        list of three at `path`; ``packed``: one 64-bit number at `path`.
    path
        Steps from the block entity's root.
    names
        Keys of x, y and z for the form ``named``.
    relative
        Whether the numbers count from the part itself, along the world's axes.
    """

    form: Literal["named", "list", "packed"]
    path: DataPath
    names: tuple[str, str, str] = ("x", "y", "z")
    relative: bool = False

    @property
    def paths(self) -> tuple[DataPath, ...]:
        """Paths of the stored numbers that make up the position: three, or one if packed."""
        if self.form == "packed":
            return (self.path,)
        steps: tuple[str | int, ...] = self.names if self.form == "named" else (0, 1, 2)
        return tuple((*self.path, step) for step in steps)


@dataclass(frozen=True)
class Link:
    """A belt or chain to another part; `partner` is None where only the other part stores it."""

    crossed: bool
    diameter: Number
    partner: Partner | None


@dataclass(frozen=True)
class Switch:
    """A property that opens ports (clutch: while `on` is 0) or flips one (reverser: while not)."""

    kind: Literal["clutch", "reverser"]
    ports: tuple[int, ...]
    on: Number


@dataclass(frozen=True)
class Governor:
    """A port that turns at a set speed, whatever the part's own speed.

    `set_rpm` is signed about the part's front. Where `follows` holds, only its magnitude counts,
    and the port turns the way the part does.
    """

    port: int
    set_rpm: Number
    follows: bool


@dataclass(frozen=True)
class Recorded:
    """Where the saving program keeps the speed it last computed.

    `about` says about which direction it is signed: the part's front, or the positive world axis.
    """

    rpm: Stored
    about: Literal["front", "axis"]


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
        Its ends by side, at most one a side. A factor is the end's turn about the outward normal
        of its face per turn of the part about its front; never zero.
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
    only
        Properties that a block must have to be this part: (property, values) pairs. A block with
        another value is no part, such as the other half of a part of two blocks.
    meets
        Its own offsets.
    link, switch, governor, recorded
        What its couplings may further depend on, and the speed the save recorded.
    least_rpm
        Speed below which a machine does not work.
    """

    block: str
    source: int
    role: Role
    entities: tuple[str, ...]
    pose: PoseRule
    ends: tuple[End, ...]
    rim: Rim | None
    rated_rpm: Number | None
    torque: Number | None
    active: Number | None
    speed_limit_rpm: Fraction | None
    fits: str
    only: tuple[tuple[str, tuple[str, ...]], ...] = ()
    meets: tuple[Meeting, ...] = ()
    link: Link | None = None
    switch: Switch | None = None
    governor: Governor | None = None
    recorded: Recorded | None = None
    least_rpm: Number | None = None

    @property
    def numbers(self) -> tuple[tuple[Field, Number], ...]:
        """Every number that the type needs with its field, by field; not the recorded speed."""
        found: list[tuple[Field, Number]] = [(Field(end.side), end.factor) for end in self.ends]
        if self.rim is not None:
            found.append((Field.TEETH, self.rim.teeth))
        for field, number in (
            (Field.RATED_RPM, self.rated_rpm),
            (Field.TORQUE, self.torque),
            (Field.ACTIVE, self.active),
            (Field.LEAST_RPM, self.least_rpm),
            (Field.DIAMETER, None if self.link is None else self.link.diameter),
            (Field.SWITCH, None if self.switch is None else self.switch.on),
            (Field.SET_RPM, None if self.governor is None else self.governor.set_rpm),
        ):
            if number is not None:
                found.append((field, number))
        return tuple(found)


@dataclass(frozen=True)
class Warnings:
    """Thresholds of warnings.

    Parameters
    ----------
    thin_headroom
        Share of capacity below which headroom is thin.
    heavy_parts, heavy_chunks, heavy_switches
        Parts, chunks spanned and switches above which a network is heavy.
    """

    thin_headroom: Fraction = Fraction(1, 10)
    heavy_parts: int = 2000
    heavy_chunks: int = 64
    heavy_switches: int = 32


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
    warnings: Warnings = Warnings()


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
