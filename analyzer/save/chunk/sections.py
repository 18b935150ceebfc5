"""Which block stands where in a chunk, looked up without unpacking what nobody asked about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from typing import TYPE_CHECKING, Final

from analyzer.base.block import BlockState
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.chunk.entries import cell_number
from analyzer.save.chunk.outline import Outline
from analyzer.save.chunk.packed import (
    CELLS,
    FIRST_UNSPANNED,
    Packing,
    count_indices,
    find_packing,
    index_at,
    unpack_indices,
)
from analyzer.save.chunk.palette import Palette, PaletteReader, check_entries
from analyzer.save.chunk.section_places import SectionPlaces
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.walker import (
    Cursor,
)

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

#: What stands where a chunk stores nothing.
AIR: Final = BlockState("minecraft:air")

# Sections above or below the middle of all heights whose blocks' positions fit in 32 bits.
_HEIGHTS: Final = 2**27

# First data version (21w39a) in which the game ignores indices beside a palette of one entry.
_FIRST_CONTAINERS: Final = 2836


class Sections:
    """The sections of one chunk by height.

    Parameters
    ----------
    data, limits
        The chunk's tree, already walked whole.
    outline, places
        Its outline, and where its sections stand.
    palettes
        Reads palettes; one serves for many chunks.
    """

    def __init__(
        self,
        data: bytes,
        limits: Limits,
        *,
        outline: Outline,
        places: SectionPlaces,
        palettes: PaletteReader,
    ) -> None:
        self._data = data
        self._limits = limits
        version = outline.data_version
        self._spanning = version is not None and version < FIRST_UNSPANNED
        self._lone_entry_needs_no_words = version is None or version >= _FIRST_CONTAINERS
        self._palettes = palettes
        self._entries_left = limits.palette_entries
        self._read: dict[int, tuple[Palette, Packing | None]] = {}
        self._sections = places.by_height(outline)

    def state_at(self, block: Block) -> BlockState:
        """Return the block state at a position of this chunk.

        Raises
        ------
        DamageError
            Where its section's palette or packed indices make no sense.
        """
        height = block.y >> 4
        if height not in self._sections:
            return AIR
        palette, packing = self._palette(height)
        if packing is None:
            return palette[0]
        index = index_at(self._data, self._sections[height].words_at, cell_number(block), packing)
        if index >= len(palette):
            raise _outside(index, len(palette), height)
        return palette[index]

    def check(self) -> None:
        """Look at every palette and index, asked about or not.

        Raises
        ------
        DamageError
            Where one of them makes no sense.
        """
        for height in sorted(self._sections):
            palette, packing = self._palette(height)
            self._indices(height, len(palette), packing)

    def iter_palettes(self, mentions: Sequence[bytes] | None) -> Iterator[tuple[int, Palette]]:
        """Iterate over the heights of the sections and their palettes, from below.

        Parameters
        ----------
        mentions
            Pass over the palettes whose bytes hold none of these; None passes over none.

        Raises
        ------
        DamageError
            Where a palette that is not passed over makes no sense.
        """
        find, sections = self._data.find, self._sections
        for height in sorted(sections):
            start, end, _, _ = sections[height]
            if mentions is None:
                yield height, self._palette(height)[0]
                continue
            for mention in mentions:
                if find(mention, start, end) >= 0:
                    yield height, self._palette(height)[0]
                    break

    def iter_cells(
        self, height: int, names: Set[str], chunk: Chunk, *, but: Sequence[int] = ()
    ) -> Iterator[tuple[BlockState, npt.NDArray[np.int64]]]:
        """Iterate over the states with one of some names, and where their blocks stand.

        Parameters
        ----------
        height
            One of `iter_palettes`.
        names
            Block names; a section without any is not unpacked.
        chunk
            Which chunk it is.
        but
            Numbers of cells to leave out.

        Yields
        ------
        state, xyz
            A state and the positions of its blocks, shape (k, 3).

        Raises
        ------
        DamageError
            As `state_at`.
        """
        palette, packing = self._palette(height)
        numbers_wanted = {n for n, state in enumerate(palette) if state.name in names}
        if not numbers_wanted:
            return
        if not -_HEIGHTS <= height < _HEIGHTS:
            raise DamageError("bad-section", f"a section's height is {height:,}")
        if packing is not None and self._are_all(height, packing, numbers_wanted, but):
            return
        import numpy as np

        indices = self._indices(height, len(palette), packing)
        wanted = np.zeros(len(palette), bool)
        wanted[list(numbers_wanted)] = True
        there = wanted[indices]
        there[list(but)] = False
        cells = np.flatnonzero(there)
        numbers = indices[cells]
        for number in np.unique(numbers).tolist():
            own = cells[numbers == number]
            xyz = np.stack([own & 15, own >> 8, own >> 4 & 15], axis=1)
            yield palette[number], xyz + 16 * np.array([chunk.cx, height, chunk.cz])

    def count_states(self, height: int) -> Iterator[tuple[BlockState, int]]:
        """Iterate over the palette of a height and how many blocks have each entry.

        Raises
        ------
        DamageError
            As `state_at`.
        """
        import numpy as np

        palette, packing = self._palette(height)
        indices = self._indices(height, len(palette), packing)
        counts = np.bincount(indices, minlength=len(palette)).tolist()
        yield from zip(palette, counts, strict=True)

    def _are_all(
        self, height: int, packing: Packing, wanted: Set[int], cells: Sequence[int]
    ) -> bool:
        """Tell, where it is told easily, whether some cells are all that have wanted indices.

        No if the indices make no sense: to say why is left to who unpacks them.
        """
        section, data = self._sections[height], self._data
        most = len(self._palette(height)[0])
        count = count_indices(
            data, section.words_at, section.words, packing, palette=most, counted=wanted
        )
        if count is None:
            return False
        held = {cell for cell in cells if index_at(data, section.words_at, cell, packing) in wanted}
        return len(held) == count

    def _indices(self, height: int, palette: int, packing: Packing | None) -> npt.NDArray[np.int64]:
        if packing is None:
            import numpy as np

            return np.zeros(CELLS, np.int64)
        section = self._sections[height]
        indices = unpack_indices(self._data, section.words_at, section.words, packing)
        most = int(indices.max())
        if most >= palette:
            raise _outside(most, palette, height)
        return indices

    def _palette(self, height: int) -> tuple[Palette, Packing | None]:
        known = self._read.get(height)
        if known is None:
            known = self._read[height] = self._read_palette(height)
        return known

    def _read_palette(self, height: int) -> tuple[Palette, Packing | None]:
        section = self._sections[height]
        if section.palette_at < 0:
            raise DamageError("bad-palette", f"section {height} has blocks but no palette")
        palette = self._palettes.known(self._data, section.palette_at, section.palette_end)
        if palette is None or len(palette) > self._entries_left:
            cursor = Cursor(self._data, self._limits, section.palette_at)
            check_entries(cursor, self._entries_left)
            palette = self._palettes.read(cursor)
        self._entries_left -= len(palette)
        if not palette:
            raise DamageError("bad-palette", f"the palette of section {height} is empty")
        if len(palette) == 1 and (section.words_at < 0 or self._lone_entry_needs_no_words):
            return palette, None
        packing = find_packing(words=section.words, palette=len(palette), spanning=self._spanning)
        return palette, packing


def _outside(index: int, length: int, height: int) -> DamageError:
    return DamageError(
        "bad-packed-array",
        f"section {height} points to entry {index:,} of a palette of {length:,}",
    )
