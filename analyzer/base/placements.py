"""Where a second rim may stand so that the two mesh: the three placements.

Which placements exist is a convention of this project (docs/mechanics.md, Meshes); the sign of
each follows from no slip at the pitch point: bodies that roll on each other share the velocity of
the point of contact, ω₁ × r₁ = ω₂ × r₂.

Source: rolling contact, *Encyclopaedia Britannica*, 11th ed., vol. 17, "Mechanics".
"""

from __future__ import annotations

from itertools import product
from typing import TypeAlias

from analyzer.base.frame import UNITS, Vector, cross

Offset: TypeAlias = Vector


def beside_offsets(axis: int) -> tuple[Offset, ...]:
    """Return the four face neighbours across an axis; a mesh with them reverses the sense.

    >>> beside_offsets(0)
    ((0, -1, 0), (0, 0, -1), (0, 0, 1), (0, 1, 0))
    """
    return tuple(
        sorted(_along({other: sign}) for other in range(3) if other != axis for sign in (-1, 1))
    )


def diagonal_offsets(axis: int) -> tuple[Offset, ...]:
    """Return the four cells one step along each direction across an axis; they reverse the sense.

    >>> diagonal_offsets(1)
    ((-1, 0, -1), (-1, 0, 1), (1, 0, -1), (1, 0, 1))
    """
    first, second = (other for other in range(3) if other != axis)
    return tuple(
        sorted(_along({first: one, second: two}) for one, two in product((-1, 1), repeat=2))
    )


def crossed_offsets(axis: int) -> tuple[tuple[Offset, int, int], ...]:
    """Return (offset, the other rim's axis, sign) of each crossed placement about an axis.

    With unit vectors a and b of the two axes the offset is α·a + β·b with α, β = ±1, the pitch
    point is β·b from the first rim, and no slip there gives the sign α·β.

    >>> crossed_offsets(0)[0]
    ((-1, -1, 0), 1, 1)
    """
    return tuple(
        sorted(
            (_along({axis: alpha, other: beta}), other, alpha * beta)
            for other in range(3)
            if other != axis
            for alpha, beta in product((-1, 1), repeat=2)
        )
    )


def _along(steps: dict[int, int]) -> Offset:
    return (steps.get(0, 0), steps.get(1, 0), steps.get(2, 0))


def contact_signs(axis: int, *, offset: Offset, contact: Offset | None) -> tuple[int, int, int]:
    """Return the sign of a toothed contact for each axis that the other wheel may turn about.

    Parameters
    ----------
    axis
        World axis of the first wheel.
    offset
        From the first wheel to the other, in blocks.
    contact
        From the first wheel to the cell of the contact; None for parallel axes.

    Returns
    -------
    signs
        By the other's axis: the sign of its speed per speed of the first; 0 where teeth cannot
        mesh so. Without a contact cell parallel axes turn opposite ways; with one, axes at a
        right angle turn so that both wheels move alike there: a × r_a and b × r_b point the same
        way (+1) or opposite ways (-1). Skew axes, or a contact off either wheel's plane, give 0.
    """
    if contact is None:
        parallel = [-1 if other == axis else 0 for other in range(3)]
        return (parallel[0], parallel[1], parallel[2])
    signs = [0, 0, 0]
    beyond = (contact[0] - offset[0], contact[1] - offset[1], contact[2] - offset[2])
    for other in range(3):
        if other == axis or offset[3 - axis - other]:
            continue
        here = cross(UNITS[2 * axis], contact)
        there = cross(UNITS[2 * other], beyond)
        if not any(cross(here, there)):
            along = sum(one * two for one, two in zip(here, there, strict=True))
            signs[other] = (along > 0) - (along < 0)
    return (signs[0], signs[1], signs[2])
