"""What the inventory of one region or template gives: numbered by itself, fit to be sent."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Final

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.base.tables import Interner
from analyzer.save.inventory.fields import FieldTally
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import Cursor
from analyzer.save.reading.looked import Looked


@dataclass(frozen=True, eq=False)
class Listing:
    """The block entities of one region or template.

    Parameters
    ----------
    looked
        What was looked at.
    rows
        Position, number in `ids`, and number in `states` (-1: not known) of each block entity of
        the finished chunks.
    ids, states
        What the rows' numbers mean.
    fields
        The numbers that they store.
    older
        Count by id in chunks from before 1.13.
    """

    looked: Looked
    rows: tuple[tuple[Block, int, int], ...]
    ids: tuple[str, ...]
    states: tuple[BlockState, ...]
    fields: FieldTally
    older: Counter[str]


# Bounds on the different ids and states of one region, and on their characters together.
_MOST_NAMES: Final = 30_000
_MOST_CHARACTERS: Final = 8 * 1024 * 1024


@dataclass
class ListingSoFar:
    """A listing as it grows."""

    rows: list[tuple[Block, int, int]] = field(default_factory=list)
    ids: Interner[str] = field(default_factory=Interner)
    states: Interner[BlockState] = field(default_factory=Interner)
    fields: FieldTally = field(default_factory=FieldTally)
    older: Counter[str] = field(default_factory=Counter)
    _names: set[str | BlockState] = field(default_factory=set)
    _characters: int = 0

    def check_room(self, rows: int, names: set[str | BlockState], most_rows: int) -> None:
        """Make sure that there is room for some more rows, with their ids and states.

        Raises
        ------
        DamageError
            Where there would be more rows than so many, or too many different ids and states.
        """
        if len(self.rows) + rows > most_rows:
            detail = f"with it the region would have more block entities than {most_rows:,}"
            raise DamageError("too-large", detail)
        fresh = names - self._names
        characters = self._characters + sum(len(str(name)) for name in fresh)
        if len(self._names) + len(fresh) > _MOST_NAMES or characters > _MOST_CHARACTERS:
            raise DamageError("too-large", "with it the region would have too many different names")
        self._names |= fresh
        self._characters = characters

    def add(self, block: Block, name: str, state: BlockState | None, entity: Cursor) -> None:
        """Take in a block entity whose compound the cursor stands on."""
        number = -1 if state is None else self.states(state)
        self.rows.append((block, self.ids(name), number))
        self.fields.add_entity(name, entity)

    def listing(self, looked: Looked) -> Listing:
        """Return what was taken in."""
        return Listing(
            looked=looked,
            rows=tuple(self.rows),
            ids=self.ids.items,
            states=self.states.items,
            fields=self.fields,
            older=self.older,
        )
