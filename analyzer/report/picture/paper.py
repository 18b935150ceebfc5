"""How a view of some blocks lies on the paper: the size of a cell, and where each block is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.place import Block
from analyzer.report.drawing.views import View
from analyzer.report.picture.shapes import Point

#: Side of a cell at its largest and smallest; between them the view is about so wide.
_LARGEST: Final = 56.0
_SMALLEST: Final = 5.0
_AIM: Final = 1320.0
#: No view is wider or higher than this, however small its cells become.
_MOST: Final = 16_000.0
#: Blocks drawn round the parts.
_ROUND: Final = 2


@dataclass(frozen=True)
class Paper:
    """How a view lies on the paper.

    Parameters
    ----------
    view
        The view.
    left, top
        Where it begins on the paper.
    low, high
        Least and greatest block coordinates to the right and down, times their senses.
    cell
        Side of a cell.
    """

    view: View
    left: float
    top: float
    low: tuple[int, int]
    high: tuple[int, int]
    cell: float

    @classmethod
    def of(cls, view: View, xyz: npt.NDArray[np.int32], *, left: float, top: float) -> Paper:
        """Return the paper for some positions, shape (n, 3), n at least 1."""
        sides = [xyz[:, axis].astype(np.int64) * sense for axis, sense in (view.right, view.down)]
        low = (int(sides[0].min()) - _ROUND, int(sides[1].min()) - _ROUND)
        high = (int(sides[0].max()) + _ROUND, int(sides[1].max()) + _ROUND)
        most = max(high[0] - low[0], high[1] - low[1]) + 1
        cell = min(max(min(_AIM / most, _LARGEST), _SMALLEST), _MOST / most)
        return cls(view, left, top, low, high, cell)

    @property
    def width(self) -> float:
        """Width of the view."""
        return (self.high[0] - self.low[0] + 1) * self.cell

    @property
    def height(self) -> float:
        """Height of the view."""
        return (self.high[1] - self.low[1] + 1) * self.cell

    @property
    def right(self) -> float:
        """Where the view ends to the right."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Where the view ends below."""
        return self.top + self.height

    def at(self, block: Block) -> Point:
        """Return the centre of a block's cell."""
        (right, sense), (down, other) = self.view.right, self.view.down
        return (
            self.left + (block[right] * sense - self.low[0] + 0.5) * self.cell,
            self.top + (block[down] * other - self.low[1] + 0.5) * self.cell,
        )

    def along(self, axis: int) -> tuple[int, int]:
        """Return which way a world axis runs on the paper; (0, 0) towards whoever looks."""
        if axis == self.view.right[0]:
            return (1, 0)
        return (0, 1) if axis == self.view.down[0] else (0, 0)

    def inside(self, block: Block) -> bool:
        """Tell whether a block is on the paper."""
        x, y = self.at(block)
        return self.left <= x <= self.right and self.top <= y <= self.bottom
