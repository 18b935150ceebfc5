"""What one region or template gives to a scan, gathered as it is met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.base.tables import Interner
from analyzer.save.asked_names import AskedNames
from analyzer.save.entries import Entry
from analyzer.save.looked import Looked
from analyzer.save.modified_utf8 import decode_text, encode_text
from analyzer.save.palette import PaletteReader
from analyzer.save.record import ScanRecord
from analyzer.save.scan import Leftovers, Wanted
from analyzer.save.stored import Stored, read_stored
from analyzer.save.wanted import WantedTables

# Bounds on what a save may make one record remember; what goes beyond is left out.
_MOST_STRANGERS: Final = 1000
_MOST_BARE: Final = 1_000_000


@dataclass
class Tally:
    """Counts of what is not kept."""

    unknown: Counter[bytes] = field(default_factory=Counter)
    duplicate: int = 0
    misplaced: int = 0
    malformed: int = 0
    unfinished: int = 0

    def add(self, other: Tally) -> None:
        """Take in another tally."""
        self.unknown.update(other.unknown)
        self.duplicate += other.duplicate
        self.misplaced += other.misplaced
        self.malformed += other.malformed
        self.unfinished += other.unfinished

    def leftovers(self) -> Leftovers:
        """Return the counts, frozen."""
        unknown: Counter[str] = Counter()
        for raw, count in self.unknown.items():
            unknown[decode_text(raw)] += count
        return Leftovers(
            tuple(sorted(unknown.items())),
            self.duplicate,
            self.misplaced,
            self.malformed,
            self.unfinished,
        )


class Gathering:
    """The record of one region or template as it grows.

    Parameters
    ----------
    wanted, limits
        As for `scan_save`.

    Attributes
    ----------
    ids
        The wanted ids in modified UTF-8, with their numbers.
    asked
        What palettes are asked about.
    palettes
        Reads palettes.
    tally
        What is not kept.
    """

    def __init__(self, wanted: Wanted, limits: Limits) -> None:
        self._tables = WantedTables(wanted)
        self.ids = {encode_text(name): n for n, name in enumerate(self._tables.entities)}
        self.wanted = wanted
        self.asked = AskedNames(wanted)
        self.limits = limits
        self.palettes = PaletteReader()
        self.tally = Tally()
        self._states: Interner[BlockState] = Interner()
        self._cells: list[tuple[int, ...]] = []
        self._readings: list[tuple[int, int, Stored]] = []
        self._bare: list[npt.NDArray[np.int32]] = []
        self._bare_room = _MOST_BARE
        self._strangers: Counter[str] = Counter()

    def keep(
        self, block: Block, state: BlockState, version: int, data: bytes, entry: Entry | None
    ) -> None:
        """Keep a candidate.

        Parameters
        ----------
        block, state
            Where it stands, and what stands there.
        version
            Data version of what it was read from.
        data, entry
            The tree that was walked, and the wanted block entity in it; None for a block without.
        """
        row = len(self._cells)
        number = self._states(state)
        if entry is None or entry.id is None:
            self._cells.append((*block, number, -1, version))
            return
        entity = self.ids[entry.id]
        self._cells.append((*block, number, entity, version))
        for path, steps in self._tables.paths_of(entity):
            stored = read_stored(data, entry.at, steps, self.limits)
            if stored is not None:
                self._readings.append((row, path, stored))

    def keep_bare(self, state: BlockState, xyz: npt.NDArray[Any]) -> None:
        """Keep the places, shape (k, 3), of blocks of one state that lack their block entity."""
        xyz = xyz[: self._bare_room]
        self._bare_room -= len(xyz)
        if len(xyz):
            number = np.full((len(xyz), 1), self._states(state), np.int32)
            self._bare.append(np.hstack([xyz.astype(np.int32), number]))

    def keep_strangers(self, names: Iterable[str]) -> None:
        """Count names of blocks that should be known and are not; sorts them itself."""
        for name in sorted(names):
            if name in self._strangers or len(self._strangers) < _MOST_STRANGERS:
                self._strangers[name] += 1

    def record(self, looked: Looked) -> ScanRecord:
        """Return what was gathered."""
        values = [stored for _, _, stored in self._readings]
        return ScanRecord(
            looked=looked,
            cells=np.array(self._cells, np.int32).reshape(-1, 6),
            readings=np.array(
                [(row, path, stored.tag) for row, path, stored in self._readings], np.int32
            ).reshape(-1, 3),
            integers=np.array([stored.integer for stored in values], np.int64),
            reals=np.array([stored.real for stored in values], np.float64),
            bare=np.concatenate([np.empty((0, 4), np.int32), *self._bare]),
            states=self._states.items,
            leftovers=self.tally.leftovers(),
            strangers=tuple(sorted(self._strangers.items())),
        )
