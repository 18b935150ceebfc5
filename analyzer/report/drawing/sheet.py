"""A drawing sheet: the parts of some networks with their axes, speeds, couplings and marks."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.base.policy import Level
from analyzer.report.drawing.looks import Look


@dataclass(frozen=True, eq=False)
class DrawnParts:
    """What is drawn of n parts; parallel arrays, sorted by dimension and position.

    Parameters
    ----------
    row
        Rows of `analyzer.parts.parts.Parts`, int32, shape (n,), ascending.
    dimension
        Index into `Sheet.dimensions`, int16.
    xyz
        Block positions, int32, shape (n, 3).
    look
        Index into `Sheet.looks`, int16.
    axis
        World axis that the part turns about, int8: 0 x (east), 1 y (up), 2 z (south).
    network
        Number of its network in `analyzer.networks.networks.Networks`, int32.
    shaft
        Rigid shaft, int32: parts joined end to end that turn as one have one number.
    speed
        Index into `Sheet.speeds`, int32; -1 where the part has no speed. Speeds are about the
        positive world axis; in an overloaded network they are what they would be.
    power
        Index into `Sheet.powers`, int32: what a machine asks for or an active mover gives; -1 where
        there is none or it is unknown.
    switched
        1 for a switch that is on, 0 for one that is off, -1 for none, int8.
    """

    row: npt.NDArray[np.int32]
    dimension: npt.NDArray[np.int16]
    xyz: npt.NDArray[np.int32]
    look: npt.NDArray[np.int16]
    axis: npt.NDArray[np.int8]
    network: npt.NDArray[np.int32]
    shaft: npt.NDArray[np.int32]
    speed: npt.NDArray[np.int32]
    power: npt.NDArray[np.int32]
    switched: npt.NDArray[np.int8]

    def __len__(self) -> int:
        return len(self.row)


@dataclass(frozen=True, eq=False)
class DrawnCouplings:
    """Engaged couplings between drawn parts; parallel arrays of length m, sorted by a and b.

    Parameters
    ----------
    a, b
        The two parts, by their place in `DrawnParts`, int32. A governed coupling leads from the
        governor a to what its port meets; any other has a < b.
    kind
        `analyzer.couplings.couplings.Kind`, int8.
    ratio
        Index into `Sheet.ratios`, int32: speed of b per speed of a, each about its positive world
        axis; -1 for a governed coupling, which fixes no ratio.
    """

    a: npt.NDArray[np.int32]
    b: npt.NDArray[np.int32]
    kind: npt.NDArray[np.int8]
    ratio: npt.NDArray[np.int32]

    def __len__(self) -> int:
        return len(self.a)


@dataclass(frozen=True)
class Mark:
    """A finding on a sheet.

    Parameters
    ----------
    finding
        Its place among the audit's findings.
    level, rule
        How grave it is, and the name of its rule.
    dimension
        Name of the dimension, as the save has it.
    network
        Number of its network, or None.
    places
        Where it is: the place to look first, then the others.
    chain
        The parts of its witness, in order; empty without one.
    closed
        Whether the last part of the chain is coupled to the first.
    """

    finding: int
    level: Level
    rule: str
    dimension: str
    network: int | None
    places: tuple[Block, ...]
    chain: tuple[Block, ...]
    closed: bool


@dataclass(frozen=True, eq=False)
class Sheet:
    """Everything that a plan, an elevation or a power diagram of some networks is drawn from.

    Parameters
    ----------
    dimensions
        Dimension names, as the save has them.
    looks
        How each type of part is drawn.
    parts, couplings
        The parts, and the engaged couplings between them.
    speeds, powers, ratios
        The distinct speeds in rpm, amounts of power in the catalogues' unit, and ratios.
    marks
        Findings about the drawn networks, and those about none, in the order of findings.
    """

    dimensions: tuple[str, ...]
    looks: tuple[Look, ...]
    parts: DrawnParts
    couplings: DrawnCouplings
    speeds: tuple[Fraction, ...]
    powers: tuple[Fraction, ...]
    ratios: tuple[Fraction, ...]
    marks: tuple[Mark, ...]
