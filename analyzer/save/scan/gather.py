"""What one region or template gives to a scan, gathered as it is met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain, islice
from struct import pack
from typing import TYPE_CHECKING, Any, Final

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.save.chunk.entries import Entry
from analyzer.save.chunk.palette import PaletteReader
from analyzer.save.chunk.tally import Tally
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.modified_utf8 import encode_text
from analyzer.save.reading.looked import Looked
from analyzer.save.reading.pieces import MOST_NAMES, ChunkPiece, Extent
from analyzer.save.scan.asked_names import AskedNames
from analyzer.save.scan.piece_rows import iter_bare, iter_cells, iter_readings
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.stored import Stored, read_stored
from analyzer.save.scan.wanted import Wanted, WantedTables

if TYPE_CHECKING:
    import numpy.typing as npt

# Bounds on what a save may make one record remember; what goes beyond is left out.
_MOST_STRANGERS: Final = 1000
_MOST_BARE: Final = 1_000_000
_MOST_STATES: Final = 20_000
_MOST_PIECE_CHARACTERS: Final = 20_000


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
        self.palettes = PaletteReader(limits)
        self.tally = Tally()
        self._states: dict[BlockState, int] = {}
        self._latest: tuple[BlockState | None, int] = None, -1
        self._cells: list[tuple[int, ...]] = []
        self._readings: list[tuple[int, int, Stored]] = []
        self._bare: list[bytes] = []
        self._bare_room = _MOST_BARE
        self._strangers: Counter[str] = Counter()
        self._pieces: list[ChunkPiece] = []

    @property
    def extent(self) -> Extent:
        """How many rows the tables have so far."""
        return Extent(len(self._cells), len(self._readings), _MOST_BARE - self._bare_room)

    @property
    def bare_room(self) -> int:
        """How many bare blocks may still be kept; what goes beyond is left out."""
        return self._bare_room

    def check_room(self, kept: int) -> None:
        """Make sure that so many candidates may still be kept.

        Raises
        ------
        DamageError
            Where that would be more than the limit.
        """
        if len(self._cells) + kept > self.limits.parts:
            detail = (
                f"with it the region would have more parts than the limit of {self.limits.parts:,}"
            )
            raise DamageError("too-large", detail)

    def check_names(self, states: Iterable[BlockState], tally: Tally) -> None:
        """Make sure that the names of what a chunk gives can be remembered.

        Raises
        ------
        DamageError
            Where the region would have more different ones than any real one has.
        """
        # Most are one and the same value, which is sooner told than what they hash to.
        fresh = set({id(state): state for state in states}.values()).difference(self._states)
        if len(self._states) + len(fresh) > _MOST_STATES or not self.tally.has_room(tally.unknown):
            raise DamageError("too-large", "with it the region would have too many different names")

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
        number = self._number_of(state)
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
            import numpy as np

            rows = np.empty((len(xyz), 4), np.dtype("<i4"))
            rows[:, :3] = xyz
            rows[:, 3] = self._number_of(state)
            self._bare.append(rows.tobytes())

    def keep_strangers(self, names: Iterable[str]) -> None:
        """Count names of blocks that should be known and are not; sorts them itself."""
        for name in sorted(names):
            if name in self._strangers or len(self._strangers) < _MOST_STRANGERS:
                self._strangers[name] += 1

    def note_piece(self, piece: ChunkPiece) -> None:
        """Note what a chunk gave, unless that is cut off by a bound."""
        small = piece.names <= MOST_NAMES and piece.characters <= _MOST_PIECE_CHARACTERS
        if self._bare_room and small:
            self._pieces.append(piece)

    def may_restore(self, former: ScanRecord, piece: ChunkPiece) -> bool:
        """Return whether what a chunk gave stays within all bounds; else it is read again."""
        kept = piece.stop.cells - piece.start.cells
        names = [encode_text(name) for name, _ in piece.leftovers.unknown]
        return (
            len(self._cells) + kept <= self.limits.parts
            and len(self._states) + len(former.states) <= _MOST_STATES
            and self.tally.has_room(names)
        )

    def restore(self, former: ScanRecord, piece: ChunkPiece) -> None:
        """Take in what a chunk gave to an earlier record, as if it were read again."""
        start = self.extent
        for x, y, z, state, entity, version in iter_cells(former, piece):
            self._cells.append((x, y, z, self._number_of(state), entity, version))
        for row, path, stored in iter_readings(former, piece):
            self._readings.append((start.cells + row, path, stored))
        for x, y, z, state in islice(iter_bare(former, piece), self._bare_room):
            self._bare.append(pack("<4i", x, y, z, self._number_of(state)))
            self._bare_room -= 1
        for names in piece.strangers:
            self.keep_strangers(names)
        self.tally.add_leftovers(piece.leftovers)
        self.note_piece(replace(piece, start=start, stop=self.extent))

    def record(self, looked: Looked) -> ScanRecord:
        """Return what was gathered."""
        values = [stored for _, _, stored in self._readings]
        return ScanRecord(
            looked=looked,
            cell_bytes=_packed(self._cells),
            reading_bytes=_packed(
                [(row, path, stored.tag) for row, path, stored in self._readings]
            ),
            integer_bytes=pack(f"<{len(values)}q", *(stored.integer for stored in values)),
            real_bytes=pack(f"<{len(values)}d", *(stored.real for stored in values)),
            bare_bytes=b"".join(self._bare),
            states=tuple(self._states),
            leftovers=self.tally.leftovers(),
            strangers=tuple(sorted(self._strangers.items())),
            pieces=tuple(self._pieces),
        )

    def _number_of(self, state: BlockState) -> int:
        # Parts of one kind stand in a row.
        if state is not self._latest[0]:
            self._latest = state, self._states.setdefault(state, len(self._states))
        return self._latest[1]


def _packed(rows: Sequence[tuple[int, ...]]) -> bytes:
    numbers = tuple(chain.from_iterable(rows))
    return pack(f"<{len(numbers)}i", *numbers)
