"""What the inventory of one region or template gives: numbered by itself, fit to be sent."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.base.tables import Interner
from analyzer.save.fields import FieldTally
from analyzer.save.looked import Looked
from analyzer.save.walker import Cursor


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


@dataclass
class ListingSoFar:
    """A listing as it grows."""

    rows: list[tuple[Block, int, int]] = field(default_factory=list)
    ids: Interner[str] = field(default_factory=Interner)
    states: Interner[BlockState] = field(default_factory=Interner)
    fields: FieldTally = field(default_factory=FieldTally)
    older: Counter[str] = field(default_factory=Counter)

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
