"""Couplings between parts, and the places where one may be missing because nothing was read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.ratio import RatioTable

#: Port number of a part's rim; ports 0 to 5 are its ends by own side.
RIM: Final = 6


class Kind(IntEnum):
    """How two parts are coupled."""

    SHAFT = 0
    MESH = 1

    def __str__(self) -> str:
        """Write the kind as it stands in output."""
        return self.name.lower()


@dataclass(frozen=True, eq=False)
class Cuts:
    """Ports that aim into something not read; parallel arrays of length c, sorted by part.

    Parameters
    ----------
    part
        Row of the part, int32.
    port
        Its port, int8.
    towards
        The block position aimed at, int32, shape (c, 3).
    status
        `analyzer.save.scan.SlotStatus` of the slot aimed at, uint8.
    """

    part: npt.NDArray[np.int32]
    port: npt.NDArray[np.int8]
    towards: npt.NDArray[np.int32]
    status: npt.NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Couplings:
    """All couplings; parallel arrays of length m, sorted by (a, b, kind, port_a, port_b).

    Parameters
    ----------
    a, b
        Rows of the two parts, int32, a < b.
    kind
        `Kind`, int8.
    port_a, port_b
        The ports that meet, int8.
    ratio
        Index into `ratios`, int32: speed of b per speed of a, each about its positive world axis.
    ratios
        The distinct ratios.
    cuts
        Ports that aim into something not read.
    """

    a: npt.NDArray[np.int32]
    b: npt.NDArray[np.int32]
    kind: npt.NDArray[np.int8]
    port_a: npt.NDArray[np.int8]
    port_b: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int32]
    ratios: RatioTable
    cuts: Cuts

    def __len__(self) -> int:
        return len(self.a)
