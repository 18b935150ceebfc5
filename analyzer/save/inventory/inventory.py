"""An inventory of a save: every block entity, whether anything knows it or not."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.save.scan.scan import Coverage, SaveFacts


@dataclass(frozen=True, order=True)
class EntityRow:
    """One block entity of a finished chunk.

    Parameters
    ----------
    dimension
        Index into `Inventory.dimensions`.
    at
        Its position.
    id
        Its block-entity id, such as ``quayworks:shaft``.
    state
        Index into `Inventory.states`: the block at its position; -1 where that is not known
        (a position outside its chunk).
    """

    dimension: int
    at: Block
    id: str
    state: int


@dataclass(frozen=True)
class FieldRange:
    """The least and greatest value of one numeric field over all block entities of one id.

    `path` is written with dots between compound keys and ``[]`` for any list or array element,
    such as ``Items[].Count``; ``x``, ``y`` and ``z`` at the root are left out. `steps` is the path
    as a catalogue would give it, or None where it leads through a list or array.
    """

    id: str
    path: str
    steps: tuple[str, ...] | None
    least: int | float
    greatest: int | float


@dataclass(frozen=True, eq=False)
class Inventory:
    """Every block entity in the finished chunks of 1.13 and later.

    Parameters
    ----------
    dimensions
        Names of the dimensions, sorted.
    rows
        All entries, stale and duplicate ones included, sorted.
    states
        The block states that occur, sorted.
    fields
        Ranges of the numeric fields, sorted by (id, path).
    older
        (id, count) of the block entities in chunks from before 1.13, sorted by id.
    coverage, facts
        As in a scan.
    """

    dimensions: tuple[str, ...]
    rows: tuple[EntityRow, ...]
    states: tuple[BlockState, ...]
    fields: tuple[FieldRange, ...]
    older: tuple[tuple[str, int], ...]
    coverage: Coverage
    facts: SaveFacts
