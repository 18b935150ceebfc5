"""Couplings between parts, and the places where one may be missing because nothing was read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from analyzer.base.ratio import RatioTable


class Kind(IntEnum):
    """How two parts are coupled: end to end, rim to rim, by belt or chain, by an own offset."""

    SHAFT = 0
    MESH = 1
    LINK = 2
    OFFSET = 3

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
        The block position aimed at, int64, shape (c, 3).
    status
        `analyzer.save.scan.scan.SlotStatus` of the slot aimed at, uint8.
    """

    part: npt.NDArray[np.int32]
    port: npt.NDArray[np.int8]
    towards: npt.NDArray[np.int64]
    status: npt.NDArray[np.uint8]


class Break(IntEnum):
    """Why a stored link couples nothing."""

    ITSELF = 0
    MISSING = 1
    NO_LINK = 2
    NOT_PARALLEL = 3

    def __str__(self) -> str:
        """Write the reason as it stands in output."""
        return self.name.lower().replace("_", "-")


@dataclass(frozen=True, eq=False)
class BrokenLinks:
    """Stored links that couple nothing; parallel arrays of length k, sorted by part.

    Parameters
    ----------
    part
        Row of the part that stores the link, int32.
    towards
        The position it names, int64, shape (k, 3).
    reason
        `Break`, int8.
    """

    part: npt.NDArray[np.int32]
    towards: npt.NDArray[np.int64]
    reason: npt.NDArray[np.int8]


@dataclass(frozen=True, eq=False)
class Governed:
    """Couplings through governed ports, which fix no ratio; parallel arrays of length g.

    Parameters
    ----------
    part, port
        Row of the governor, int32, and its governed port, int8.
    other, other_port
        The part at that port, int32, and its port, int8.
    kind
        `Kind`, int8.
    ratio
        Index into `Couplings.ratios`, int32: speed of the other per speed with which the governor
        would have to turn for its port to turn as it does.
    drives
        Whether the other part is driven: False where its port is governed too, bool.
    guard_part, guard_other
        As the guards of `Couplings`, int8.
    """

    part: npt.NDArray[np.int32]
    port: npt.NDArray[np.int8]
    other: npt.NDArray[np.int32]
    other_port: npt.NDArray[np.int8]
    kind: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int32]
    drives: npt.NDArray[np.bool_]
    guard_part: npt.NDArray[np.int8]
    guard_other: npt.NDArray[np.int8]


@dataclass(frozen=True, eq=False)
class Couplings:
    """All couplings; parallel arrays of length m, sorted by (a, b, kind, port_a, port_b, ratio).

    Couplings of every switch state are listed; which of them are engaged is a mask
    (`analyzer.couplings.engage`).

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
    guard_a, guard_b
        State of a's and of b's switch in which the coupling is engaged, int8: 1 on, 0 off, -1 any.
    ratios
        The distinct ratios.
    governed
        Couplings through governed ports.
    cuts
        Ports that aim into something not read.
    broken
        Stored links that couple nothing.
    """

    a: npt.NDArray[np.int32]
    b: npt.NDArray[np.int32]
    kind: npt.NDArray[np.int8]
    port_a: npt.NDArray[np.int8]
    port_b: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int32]
    guard_a: npt.NDArray[np.int8]
    guard_b: npt.NDArray[np.int8]
    ratios: RatioTable
    governed: Governed
    cuts: Cuts
    broken: BrokenLinks

    def __len__(self) -> int:
        return len(self.a)
