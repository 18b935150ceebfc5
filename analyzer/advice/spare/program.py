"""Integer programs whose answers are checked in whole numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from analyzer.advice.quiet import quiet_milp

#: Most nodes of one program, and most nodes times variables: bounds that do not depend on the
#: speed of the machine.
NODES: Final = 20_000
WORK: Final = 1_000_000
#: Largest number that a program in doubles is trusted with.
TRUSTED: Final = 2**40


@dataclass(frozen=True, eq=False)
class Row:
    """A sum over some of the variables, in whole numbers: exactly, at most or at least so much."""

    at: npt.NDArray[np.int64]
    by: Sequence[int]
    least: int | None
    most: int | None

    def holds(self, values: Sequence[int]) -> bool:
        """Tell whether values keep to it."""
        total = sum(by * values[at] for at, by in zip(self.at.tolist(), self.by, strict=True))
        above = self.least is None or total >= self.least
        return above and (self.most is None or total <= self.most)


@dataclass(frozen=True, eq=False)
class Answer:
    """Values of the variables, what they come to, and what nothing goes above.

    The bound is None where the numbers are too large for the program to be trusted with.
    """

    values: tuple[int, ...]
    found: int
    bound: int | None


def solve_program(worth: Sequence[int], rows: Sequence[Row], most: Sequence[int]) -> Answer | None:
    """Make a sum greatest over whole numbers from 0 to `most` that keep to all rows.

    Parameters
    ----------
    worth
        What one of each variable is worth.
    rows
        What has to hold.
    most
        The greatest value of each variable.

    Returns
    -------
    Answer or None
        None where no values were found that keep to the rows exactly. No variables give an
        answer without values, where the rows hold.

    Notes
    -----
    HiGHS, by `scipy.optimize.milp`.
    """
    if not worth:
        return Answer((), 0, 0) if all(row.holds(()) for row in rows) else None
    found = _milp(worth, rows, most)
    if found.x is None:
        return None
    values = tuple(np.rint(found.x).astype(int).tolist())
    if not all(row.holds(values) for row in rows):
        return None
    total = sum(one * value for one, value in zip(worth, values, strict=True))
    bound = None
    if _largest(worth, rows) <= TRUSTED and found.mip_dual_bound is not None:
        # A bound is a double: what lies this little above a whole number means that number.
        bound = max(total, math.floor(-found.mip_dual_bound + 0.01))
    return Answer(values, total, bound)


def _milp(worth: Sequence[int], rows: Sequence[Row], most: Sequence[int]) -> Any:
    from scipy.optimize import Bounds, LinearConstraint
    from scipy.sparse import csr_array

    lengths = [len(row.at) for row in rows]
    table = csr_array(
        (
            np.array([by for row in rows for by in row.by], float),
            (
                np.repeat(np.arange(len(rows)), lengths),
                np.concatenate([row.at for row in rows] or [np.empty(0, np.int64)]),
            ),
        ),
        shape=(len(rows), len(worth)),
    )
    least = [-math.inf if row.least is None else float(row.least) for row in rows]
    greatest = [math.inf if row.most is None else float(row.most) for row in rows]
    return quiet_milp(
        -np.array(worth, float),
        constraints=[LinearConstraint(table, least, greatest)],
        integrality=np.ones(len(worth)),
        bounds=Bounds(np.zeros(len(worth)), np.array(most, float)),
        options={"node_limit": min(NODES, WORK // len(worth) + 1), "mip_rel_gap": 0.0},
    )


def _largest(worth: Sequence[int], rows: Sequence[Row]) -> int:
    sides = [side for row in rows for side in (row.least, row.most) if side is not None]
    inner = [by for row in rows for by in row.by]
    return max(map(abs, [*worth, *inner, *sides]), default=0)
