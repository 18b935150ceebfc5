"""What the scan of one region or template gives: numbered by itself, fit to be sent."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from analyzer.base.block import BlockState
from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.reading.looked import Looked
from analyzer.save.reading.pieces import ChunkPiece

# A process that only reads regions, most of which hold no part, does without numpy.
if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt


@dataclass(frozen=True)
class ScanRecord:
    """The candidates of one region or template.

    Its tables are kept as little-endian bytes; the properties give them as read-only arrays.

    Parameters
    ----------
    looked
        What was looked at.
    cell_bytes, reading_bytes, integer_bytes, real_bytes, bare_bytes
        The tables `cells`, `readings`, `integers`, `reals` and `bare`, row by row.
    states
        The block states that cells and bare blocks point to.
    leftovers
        What was not kept.
    strangers
        (block name, number of palettes), sorted.
    pieces
        What of it each chunk with candidates gave, in the order of the chunks' slots; empty where
        that was not noted: of a template, and where bounds cut off what was kept.
    """

    looked: Looked
    cell_bytes: bytes
    reading_bytes: bytes
    integer_bytes: bytes
    real_bytes: bytes
    bare_bytes: bytes
    states: tuple[BlockState, ...]
    leftovers: Leftovers
    strangers: tuple[tuple[str, int], ...]
    pieces: tuple[ChunkPiece, ...] = ()

    @property
    def cells(self) -> npt.NDArray[np.int32]:
        """The candidates in the order they were met, int32, shape (n, 6).

        x, y, z, number of the state in `states`, number of the wanted id (-1: no block entity),
        data version.
        """
        return _integers(self.cell_bytes).reshape(-1, 6)

    @property
    def readings(self) -> npt.NDArray[np.int32]:
        """The candidates' stored numbers, int32, shape (m, 3).

        Row in `cells`, number of the wanted path, tag.
        """
        return _integers(self.reading_bytes).reshape(-1, 3)

    @property
    def integers(self) -> npt.NDArray[np.int64]:
        """The integer value of each reading, int64, shape (m,)."""
        import numpy as np

        return np.frombuffer(self.integer_bytes, np.dtype("<i8"))

    @property
    def reals(self) -> npt.NDArray[np.float64]:
        """The real value of each reading, float64, shape (m,)."""
        import numpy as np

        return np.frombuffer(self.real_bytes, np.dtype("<f8"))

    @property
    def bare(self) -> npt.NDArray[np.int32]:
        """Blocks without their block entity, int32, shape (k, 4): x, y, z, number of the state."""
        return _integers(self.bare_bytes).reshape(-1, 4)


def empty_record(looked: Looked) -> ScanRecord:
    """Return the record of a region or template in which nothing was met."""
    return ScanRecord(looked, b"", b"", b"", b"", b"", (), Leftovers(), ())


def _integers(table: bytes) -> npt.NDArray[np.int32]:
    import numpy as np

    return np.frombuffer(table, np.dtype("<i4"))
