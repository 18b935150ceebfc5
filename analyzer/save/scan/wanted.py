"""What a scan looks for, and the tables that its numbers point into."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

Steps = tuple[str | int, ...]


@dataclass(frozen=True)
class Wanted:
    """What a scan looks for.

    Parameters
    ----------
    entities
        Block-entity ids to keep, each with the paths of stored numbers to read from it. A path's
        steps are compound keys (text) and list or array indices (int).
    blocks
        Names of blocks to look for in palettes, since they have no block entity.
    every_byte
        Inflate and walk every chunk whole, so that no chunk is merely sifted.
    entity_blocks
        Names of blocks that need a block entity: those that have none are looked for.
    namespaces, known_blocks
        Namespaces of which every block should be known, and the names that are: the others are
        looked for.
    """

    entities: Mapping[str, tuple[tuple[str | int, ...], ...]]
    blocks: frozenset[str] = frozenset()
    every_byte: bool = False
    entity_blocks: frozenset[str] = frozenset()
    namespaces: frozenset[str] = frozenset()
    known_blocks: frozenset[str] = frozenset()


class WantedTables:
    """The wanted ids and paths, each numbered in sorted order.

    Parameters
    ----------
    wanted
        What the scan looks for; its mapping's own order does not matter.
    """

    def __init__(self, wanted: Wanted) -> None:
        self.entities: tuple[str, ...] = tuple(sorted(wanted.entities))
        every = {steps for paths in wanted.entities.values() for steps in paths}
        self.paths: tuple[Steps, ...] = _sorted(every)
        numbers = {steps: number for number, steps in enumerate(self.paths)}
        self._by_entity = [
            tuple((numbers[steps], steps) for steps in _sorted(wanted.entities[name]))
            for name in self.entities
        ]

    def paths_of(self, entity: int) -> tuple[tuple[int, Steps], ...]:
        """Return the (number, steps) of the paths to read from an entity, ascending."""
        return self._by_entity[entity]


def _sorted(paths: Iterable[Steps]) -> tuple[Steps, ...]:
    # Text and numbers do not compare with each other: text first.
    return tuple(
        sorted(set(paths), key=lambda steps: [(isinstance(step, int), step) for step in steps])
    )
