"""The views of a drawing: how world axes lie on the paper, and which way arrows point there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class View:
    """One way of looking at a build.

    Parameters
    ----------
    name
        What it is called.
    seen
        From where one looks.
    right, down
        World axis that runs to the right and the one that runs down the paper, 0 to 2, and their
        senses: +1 or -1.
    towards
        World axis that points at whoever looks, with its sense.

    Notes
    -----
    Right, up (against `down`) and towards form a right-handed frame, so that a part whose positive
    axis points at whoever looks and whose speed is positive turns counterclockwise on the paper.
    """

    name: str
    seen: str
    right: tuple[int, int]
    down: tuple[int, int]
    towards: tuple[int, int]


PLAN: Final = View("plan", "from above", right=(0, 1), down=(2, 1), towards=(1, 1))
ELEVATION_SOUTH: Final = View(
    "elevation", "from the south", right=(0, 1), down=(1, -1), towards=(2, 1)
)
ELEVATION_EAST: Final = View(
    "elevation", "from the east", right=(2, -1), down=(1, -1), towards=(0, 1)
)
VIEWS: Final = (PLAN, ELEVATION_SOUTH, ELEVATION_EAST)


def surface_arrow(view: View, axis: int, speed_sign: int) -> tuple[int, int]:
    """Return which way the side that faces whoever looks moves on the paper, as (right, down).

    (0, 0) for a part at rest or one whose axis points at whoever looks: that one turns on the
    paper, counterclockwise where `turns_counterclockwise` says so.

    Parameters
    ----------
    view
        The view.
    axis
        World axis of the part.
    speed_sign
        Sign of its speed about the positive axis: -1, 0 or 1.

    Notes
    -----
    A point at r from the axis moves with speed × axis × r; here r points at whoever looks.

    >>> surface_arrow(PLAN, 0, 1)  # about +x, seen from above: the top moves south, down the paper
    (0, 1)
    """
    towards, sense = view.towards
    if axis == towards:
        return (0, 0)
    # axis × towards is the third axis, with the sign of the permutation.
    third = 3 - axis - towards
    sign = speed_sign * sense * (1 if (axis + 1) % 3 == towards else -1)
    if third == view.right[0]:
        return (sign * view.right[1], 0)
    return (0, sign * view.down[1])


def turns_counterclockwise(view: View, speed_sign: int) -> bool:
    """Tell which way a part turns on the paper whose axis points at whoever looks.

    >>> turns_counterclockwise(PLAN, 1)
    True
    """
    return speed_sign * view.towards[1] > 0
