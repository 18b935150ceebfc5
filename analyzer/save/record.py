"""What the scan of one region or template gives: numbered by itself, fit to be sent."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analyzer.base.block import BlockState
from analyzer.save.looked import Looked
from analyzer.save.scan import Leftovers


@dataclass(frozen=True, eq=False)
class ScanRecord:
    """The candidates of one region or template.

    Parameters
    ----------
    looked
        What was looked at.
    cells
        The candidates in the order they were met, int32, shape (n, 6): x, y, z, number of the
        state in `states`, number of the wanted id (-1: no block entity), data version.
    readings
        Their stored numbers, int32, shape (m, 3): row in `cells`, number of the wanted path, tag.
    integers, reals
        The values of the readings, int64 and float64, shape (m,).
    bare
        Blocks that lack their block entity, int32, shape (k, 4): x, y, z, number of the state.
    states
        The block states that cells and bare blocks point to.
    leftovers
        What was not kept.
    strangers
        (block name, number of palettes), sorted.
    """

    looked: Looked
    cells: npt.NDArray[np.int32]
    readings: npt.NDArray[np.int32]
    integers: npt.NDArray[np.int64]
    reals: npt.NDArray[np.float64]
    bare: npt.NDArray[np.int32]
    states: tuple[BlockState, ...]
    leftovers: Leftovers
    strangers: tuple[tuple[str, int], ...]
