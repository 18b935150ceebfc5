"""Blocks that should have a block entity and have none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analyzer.base.tables import frozen


@dataclass(frozen=True, eq=False)
class BareBlocks:
    """Blocks of names that need a block entity, without one; sorted by (dimension, x, y, z).

    Only chunks that were read whole, and templates, can show them.

    Parameters
    ----------
    dimension
        Index into `Scan.dimensions`, int16, shape (k,).
    xyz
        Block positions, int32, shape (k, 3).
    state
        Index into `Candidates.states`, int32, shape (k,).
    """

    dimension: npt.NDArray[np.int16]
    xyz: npt.NDArray[np.int32]
    state: npt.NDArray[np.int32]

    def __len__(self) -> int:
        return len(self.state)


def no_bare_blocks() -> BareBlocks:
    """Return an empty table."""
    return BareBlocks(
        dimension=frozen(np.empty(0, np.int16)),
        xyz=frozen(np.empty((0, 3), np.int32)),
        state=frozen(np.empty(0, np.int32)),
    )
