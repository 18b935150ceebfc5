"""The parts of a save, sorted by dimension and position."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, TypeAlias

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.catalogue.catalogue import Catalogues, Field

RejectReason: TypeAlias = Literal["stale", "not-understood"]


@dataclass(frozen=True, order=True)
class Rejected:
    """A candidate that is no part.

    Parameters
    ----------
    dimension
        Index into `Parts.dimensions`.
    at
        Its position.
    reason
        ``stale``: a block entity whose block is not of a type that goes with it.
        ``not-understood``: a property that the type needs is absent or has an unknown value.
    block
        Its block state, as text.
    detail
        One clause for people.
    """

    dimension: int
    at: Block
    reason: RejectReason
    block: str
    detail: str


@dataclass(frozen=True, order=True)
class Unusable:
    """A stored number that cannot be used: part's row, field, path in its data, what was found."""

    part: int
    field: Field
    path: str
    found: str


@dataclass(frozen=True, eq=False)
class Links:
    """Link partners as stored; parallel arrays of length k, sorted by part.

    Parameters
    ----------
    part
        Row of the part that stores its partner, int32.
    towards
        The partner's position in the part's dimension, int64, shape (k, 3).
    """

    part: npt.NDArray[np.int32]
    towards: npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Records:
    """Speeds that the saving program recorded; parallel arrays of length k, sorted by part.

    Parameters
    ----------
    part
        Row of the part, int32.
    stored
        Index into `Parts.numbers` of the number as it is stored, int32.
    unit
        Index into `Parts.numbers` of the speed in rpm about the part's positive world axis that
        a stored 1 stands for, int32.
    tag
        NBT tag number of what is stored, int8: 1 to 4 integers, 5 and 6 floats.
    """

    part: npt.NDArray[np.int32]
    stored: npt.NDArray[np.int32]
    unit: npt.NDArray[np.int32]
    tag: npt.NDArray[np.int8]


def no_links() -> Links:
    """Return links of no parts."""
    return Links(np.empty(0, np.int32), np.empty((0, 3), np.int64))


def no_records() -> Records:
    """Return records of no parts."""
    nothing = np.empty(0, np.int32)
    return Records(nothing, nothing, nothing, nothing.astype(np.int8))


@dataclass(frozen=True, eq=False)
class Parts:
    """Parts sorted by (dimension, x, y, z); n rows. A part's row is its number everywhere.

    Parameters
    ----------
    catalogues
        What the types mean.
    dimensions
        Dimension names, sorted.
    dimension
        Index into `dimensions`, int16, shape (n,).
    xyz
        Block positions, int32, shape (n, 3).
    type
        Index into ``catalogues.types``, int16, shape (n,).
    pose
        Index into `analyzer.base.frame.POSES`, int8, shape (n,).
    state
        Index into `states`, int32, shape (n,).
    states
        The block states that occur.
    numbers
        The distinct exact numbers that occur.
    fields
        For each field some part has: index into `numbers`, int32, shape (n,); -1 where the part
        has no such number or it is unusable. RATED_RPM and SET_RPM are signed about the *world's*
        positive axis of the part's front (the one place where own speeds become world speeds is
        where parts are made). END factors stay in the own frame.
    rejected, unusable
        Candidates that are no parts; numbers that cannot be used.
    links, recorded
        Link partners and recorded speeds as the save stores them.
    """

    catalogues: Catalogues
    dimensions: tuple[str, ...]
    dimension: npt.NDArray[np.int16]
    xyz: npt.NDArray[np.int32]
    type: npt.NDArray[np.int16]
    pose: npt.NDArray[np.int8]
    state: npt.NDArray[np.int32]
    states: tuple[BlockState, ...]
    numbers: tuple[Fraction, ...]
    fields: Mapping[Field, npt.NDArray[np.int32]]
    rejected: tuple[Rejected, ...] = field(default=())
    unusable: tuple[Unusable, ...] = field(default=())
    links: Links = field(default_factory=no_links)
    recorded: Records = field(default_factory=no_records)

    def __len__(self) -> int:
        return len(self.type)

    def block_at(self, part: int) -> Block:
        """Return the position of a part."""
        x, y, z = self.xyz[part].tolist()
        return Block(x, y, z)

    def column(self, field: Field) -> npt.NDArray[np.int32]:
        """Return one field's numbers of all parts, shape (n,); all -1 where no part has it."""
        found = self.fields.get(field)
        return np.full(len(self), -1, np.int32) if found is None else found

    def switch_states(self) -> npt.NDArray[np.int8]:
        """Return 1 for a switch that is on, 0 for one that is off, -1 for none; shape (n,).

        A switch whose number cannot be used counts as off.
        """
        types = self.catalogues.types
        is_switch = np.array([entry.switch is not None for entry in types], bool)[self.type]
        nonzero = np.array([bool(number) for number in self.numbers] + [False], bool)
        on = nonzero[self.column(Field.SWITCH)]
        return np.where(is_switch, on, -1).astype(np.int8)

    def number(self, part: int, field: Field) -> Fraction | None:
        """Return one exact number of a part, or None where it has none."""
        column = self.fields.get(field)
        if column is None or column[part] < 0:
            return None
        return self.numbers[int(column[part])]
