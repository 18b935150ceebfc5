"""A draft: a table of parts while some of them are taken away, put there or changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.advice.advice import Spot
from analyzer.base.block import BlockState
from analyzer.base.errors import UsageError
from analyzer.base.frame import POSES, sign_of
from analyzer.base.tables import Interner, frozen
from analyzer.catalogue.bounds import FIELD_BOUNDS
from analyzer.catalogue.catalogue import Field, PartType, Stored
from analyzer.catalogue.resolve import Resolved, resolve_state
from analyzer.parts.parts import Links, Parts

#: Fields that are signed about the front in a catalogue, and about the world's axis in parts.
_SIGNED: Final = frozenset({Field.RATED_RPM, Field.SET_RPM})


@dataclass
class Entry:
    """One part of a draft: its numbers are about its own front, as a catalogue has them."""

    type: int
    state: BlockState
    numbers: dict[Field, Fraction | None]
    links: list[tuple[int, int, int]]
    source: int | None = None


class Draft:
    """Changes to a table of parts, by position; `made` gives the changed table."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._types = parts.catalogues.types
        self._numbers = {type_.block: number for number, type_ in enumerate(self._types)}
        self._rows: dict[tuple[int, int, int, int], int] | None = None
        self._changed: dict[tuple[int, int, int, int], Entry | None] = {}

    @property
    def types(self) -> dict[str, PartType]:
        """The types by block name."""
        return {type_.block: type_ for type_ in self._types}

    def find(self, spot: Spot) -> Entry:
        """Return the part at a position, to be changed.

        Raises
        ------
        UsageError
            Where no part stands there.
        """
        key = self._key(spot)
        entry = self._changed.get(key) if key in self._changed else self._read(key)
        if entry is None:
            raise UsageError(f"no part stands at {_place(spot)}")
        self._changed[key] = entry
        return entry

    def type_of(self, entry: Entry) -> PartType:
        """Return a part's type."""
        return self._types[entry.type]

    def remove(self, spot: Spot) -> None:
        """Take a part away."""
        self.find(spot)
        self._changed[self._key(spot)] = None

    def put(self, spot: Spot, state: BlockState, numbers: Mapping[Field, Fraction]) -> None:
        """Put a part somewhere; what it stores and is not given has the catalogue's default.

        Raises
        ------
        UsageError
            Where the block is of no type of the catalogues, or no part, or lacks a number.
        """
        number = self._numbers.get(state.name)
        if number is None:
            raise UsageError(f"{state.name} is in no catalogue that was loaded")
        key = self._key(spot)
        stood = self._changed.get(key) if key in self._changed else self._read(key)
        entry = Entry(number, state, {}, [], None if stood is None else stood.source)
        self._settle(entry, spot, dict(numbers))
        self._changed[key] = entry

    def set_state(self, spot: Spot, state: BlockState) -> None:
        """Change the block state of a part, which keeps what it stores."""
        entry = self.find(spot)
        entry.state = state
        type_ = self._types[entry.type]
        stored = {field for field, number in type_.numbers if isinstance(number, Stored)}
        kept = {field: value for field, value in entry.numbers.items() if field in stored}
        self._settle(entry, spot, kept)

    def resolved(self, entry: Entry) -> Resolved:
        """Return what a part's block state makes of its type."""
        found = resolve_state(self._types[entry.type], entry.state)
        assert isinstance(found, Resolved), "settled when it was drafted"
        return found

    def made(self) -> Parts:
        """Return the changed table, sorted."""
        parts = self._parts
        if not self._changed:
            return parts
        states, numbers = Interner(parts.states), Interner(parts.numbers)
        gone = np.zeros(len(parts), bool)
        fresh: list[tuple[tuple[int, int, int, int], Entry]] = []
        for key, entry in sorted(self._changed.items(), key=lambda item: item[0]):
            row = self._row(key)
            if row is not None:
                gone[row] = True
            if entry is not None:
                fresh.append((key, entry))
        kept = np.flatnonzero(~gone)
        keys = np.concatenate(
            [
                np.column_stack([parts.dimension[kept], parts.xyz[kept]]).astype(np.int64),
                np.array([key for key, _ in fresh], np.int64).reshape(-1, 4),
            ]
        )
        order = np.lexsort(keys.T[::-1])
        resolved = [self.resolved(entry) for _, entry in fresh]

        def column(old: npt.NDArray[Any], new: list[int]) -> npt.NDArray[Any]:
            return frozen(np.concatenate([old[kept], np.array(new, old.dtype)])[order])

        fields = {
            field: column(
                parts.column(field),
                [
                    _index(entry.numbers.get(field), field, found.pose, numbers)
                    for (_, entry), found in zip(fresh, resolved, strict=True)
                ],
            )
            for field in sorted(
                {*parts.fields, *(field for _, entry in fresh for field in entry.numbers)}
            )
        }
        place = np.empty(len(order), np.int64)
        place[order] = np.arange(len(order))
        number = np.full(len(parts), -1, np.int64)
        number[kept] = place[: len(kept)]
        still = {
            (entry.source, field): row
            for row, (_, entry) in zip(place[len(kept) :].tolist(), fresh, strict=True)
            for field, value in entry.numbers.items()
            if value is None
        }
        return replace(
            parts,
            dimension=frozen(keys[order, 0].astype(np.int16)),
            xyz=frozen(keys[order, 1:].astype(np.int32)),
            type=column(parts.type, [entry.type for _, entry in fresh]),
            pose=column(parts.pose, [found.pose for found in resolved]),
            state=column(parts.state, [states(entry.state) for _, entry in fresh]),
            states=states.items,
            numbers=numbers.items,
            fields=MappingProxyType(fields),
            unusable=tuple(
                sorted(
                    replace(one, part=still.get((one.part, one.field), int(number[one.part])))
                    for one in parts.unusable
                    if number[one.part] >= 0 or (one.part, one.field) in still
                )
            ),
            links=_links(parts, number, place[len(kept) :].tolist(), [one for _, one in fresh]),
        )

    def _settle(
        self, entry: Entry, spot: Spot, given: dict[Field, Fraction] | dict[Field, Fraction | None]
    ) -> None:
        type_ = self._types[entry.type]
        found = resolve_state(type_, entry.state)
        if not isinstance(found, Resolved):
            raise UsageError(f"{entry.state} at {_place(spot)} is no part: {found.detail}")
        numbers: dict[Field, Fraction | None] = {}
        for field, number in found.numbers:
            if not isinstance(number, Stored):
                numbers[field] = number
            elif field in given:
                numbers[field] = given[field]
            elif number.default is not None:
                numbers[field] = number.default
            else:
                raise UsageError(
                    f"{entry.state.name} at {_place(spot)} stores {field_name(field)}, which has "
                    f"no default: give it, as in {{{field_name(field)}=NUMBER}}"
                )
        for field in given:
            check_stored(type_, field)
        entry.numbers = numbers

    def _read(self, key: tuple[int, int, int, int]) -> Entry | None:
        row = self._row(key)
        if row is None:
            return None
        parts = self._parts
        sign = sign_of(POSES[int(parts.pose[row])][0])
        numbers: dict[Field, Fraction | None] = {}
        for field in parts.fields:
            value = parts.number(row, field)
            if value is not None:
                numbers[field] = value * (sign if field in _SIGNED else 1)
        for one in parts.unusable:
            if one.part == row:
                numbers[one.field] = None
        links = parts.links.towards[parts.links.part == row].tolist()
        return Entry(
            type=int(parts.type[row]),
            state=parts.states[int(parts.state[row])],
            numbers=numbers,
            links=[(x, y, z) for x, y, z in links],
            source=row,
        )

    def _row(self, key: tuple[int, int, int, int]) -> int | None:
        if self._rows is None:
            keys = np.column_stack([self._parts.dimension, self._parts.xyz]).tolist()
            self._rows = {(d, x, y, z): row for row, (d, x, y, z) in enumerate(keys)}
        return self._rows.get(key)

    def _key(self, spot: Spot) -> tuple[int, int, int, int]:
        if spot.dimension not in self._parts.dimensions:
            raise UsageError(f"no dimension {spot.dimension} was read")
        return (self._parts.dimensions.index(spot.dimension), *spot.at)


def field_name(field: Field) -> str:
    """Return the name of a number as catalogues and changes write it."""
    return field.name.lower()


def check_stored(type_: PartType, field: Field) -> None:
    """Refuse a number that a part of a type does not store.

    Raises
    ------
    UsageError
        With what to do instead.
    """
    number = dict(type_.numbers).get(field)
    if number is None:
        raise UsageError(f"{type_.block} has no {field_name(field)}")
    if not isinstance(number, Stored):
        raise UsageError(
            f"{field_name(field)} of {type_.block} is not stored: it follows from the block state"
        )


def check_bound(type_: PartType, field: Field, value: Fraction) -> None:
    """Refuse a number that a save could not hold.

    Raises
    ------
    UsageError
        With what is asked of it.
    """
    if not FIELD_BOUNDS[field].holds(value):
        raise UsageError(
            f"{field_name(field)} of {type_.block} has to be {FIELD_BOUNDS[field].value}, and at "
            f"most 1,000,000,000 in magnitude; {value} is not"
        )


def _index(value: Fraction | None, field: Field, pose: int, numbers: Interner[Fraction]) -> int:
    if value is None:
        return -1
    return numbers(value * (sign_of(POSES[pose][0]) if field in _SIGNED else 1))


def _links(
    parts: Parts, number: npt.NDArray[np.int64], places: list[int], entries: list[Entry]
) -> Links:
    kept = np.flatnonzero(number[parts.links.part] >= 0)
    part = number[parts.links.part[kept]].tolist()
    towards = parts.links.towards[kept].tolist()
    for place, entry in zip(places, entries, strict=True):
        for link in entry.links:
            part.append(place)
            towards.append(list(link))
    order = sorted(range(len(part)), key=lambda one: (part[one], towards[one]))
    return Links(
        part=frozen(np.array([part[one] for one in order], np.int32)),
        towards=frozen(np.array([towards[one] for one in order], np.int64).reshape(-1, 3)),
    )


def _place(spot: Spot) -> str:
    return f"{spot.at.x} {spot.at.y} {spot.at.z}"
