"""The tables that a scan's numbers point into, the same in every process."""

from __future__ import annotations

from collections.abc import Iterable

from analyzer.save.scan import Wanted

Steps = tuple[str | int, ...]


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
