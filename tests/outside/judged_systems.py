"""Speeds as unknowns of linear equations, one for each coupling, solved by libraries.

A coupling of parts a and b at ratio r says that r·ω_a − ω_b = 0, and a mover that ω is its rating.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from scipy.sparse import block_array, coo_array, eye_array
from scipy.sparse.linalg import spsolve
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from tests.outside.random_gains import Gain, random_gains


@dataclass(frozen=True)
class Drawn:
    """Some networks side by side: how many parts, how they are coupled, parts of each network."""

    parts: int
    gains: list[Gain]
    members: list[list[int]]


def draw_networks(draw: random.Random) -> Drawn:
    """Draw up to four networks whose parts have their numbers by chance."""
    sizes = [draw.randint(2, 12) for _ in range(draw.randint(1, 4))]
    numbers = draw.sample(range(sum(sizes)), sum(sizes))
    gains: list[Gain] = []
    members = []
    for size in sizes:
        own, numbers = numbers[:size], numbers[size:]
        members.append(sorted(own))
        wrong = draw.choice((0, 0, 0.1))
        for a, b, ratio in random_gains(draw, parts=size, more=draw.randint(0, 8), wrong=wrong):
            p, q = own[a], own[b]
            gains.append((p, q, ratio) if p < q else (q, p, 1 / ratio))
    return Drawn(sum(sizes), sorted(gains), members)


def free_motions(parts: int, gains: Sequence[Gain]) -> list[dict[int, Fraction]]:
    """Return a basis of all solutions without movers, each as the speeds that are not zero."""
    basis = _matrix(parts, gains, {}).nullspace().to_sparse()
    rows = (basis.extract([row], range(parts)).to_dok() for row in range(basis.shape[0]))
    return [{part: _fraction(speed) for (_, part), speed in row.items()} for row in rows]


def driven_motion(
    parts: int, gains: Sequence[Gain], rated: Mapping[int, Fraction]
) -> dict[int, Fraction] | None:
    """Return the one solution with some movers; None where there is none.

    Raises
    ------
    AssertionError
        Where there are several.
    """
    reduced, pivots = _matrix(parts, gains, rated).rref()
    if pivots[-1] == parts:
        return None
    assert pivots == tuple(range(parts))
    solved = reduced.to_sparse().to_dok()
    zero = QQ(0)
    return {part: _fraction(solved.get((part, parts), zero)) for part in range(parts)}


def _matrix(parts: int, gains: Sequence[Gain], rated: Mapping[int, Fraction]) -> DomainMatrix:
    rows = [
        *({a: _rational(ratio), b: QQ(-1)} for a, b, ratio in gains),
        *({part: QQ(1), parts: _rational(rpm)} for part, rpm in rated.items()),
    ]
    return DomainMatrix(dict(enumerate(rows)), (len(rows), parts + bool(rated)), QQ)


def _rational(value: Fraction) -> object:
    return QQ(value.numerator, value.denominator)


def _fraction(value: object) -> Fraction:
    return Fraction(int(value.numerator), int(value.denominator))  # type: ignore[attr-defined]


def floating_motion(
    parts: int, gains: Sequence[Gain], rated: Mapping[int, float]
) -> tuple[np.ndarray, float]:
    """Return the speeds that leave the least squared errors, and the greatest of these errors.

    The equations are solved together with their errors, r + A ω = b and Aᵀ r = 0, by one
    factorisation: their normal equations would square the condition number.
    """
    count = len(gains) + len(rated)
    entries = [
        *((row, a, float(ratio)) for row, (a, _, ratio) in enumerate(gains)),
        *((row, b, -1.0) for row, (_, b, _) in enumerate(gains)),
        *((len(gains) + row, part, 1.0) for row, part in enumerate(rated)),
    ]
    row, column, value = zip(*entries, strict=True)
    a = coo_array((value, (row, column)), shape=(count, parts))
    right = np.concatenate([np.zeros(len(gains)), list(rated.values()), np.zeros(parts)])
    whole = block_array([[eye_array(count), a], [a.T, None]], format="csc")
    solved = spsolve(whole, right)
    return solved[count:], float(np.abs(solved[:count]).max())
