"""Random networks of couplings, some of which contradict themselves."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import TypeAlias

#: A coupling: two parts, and the speed of the second per speed of the first.
Gain: TypeAlias = tuple[int, int, Fraction]


def random_gains(draw: random.Random, *, parts: int, more: int, wrong: float) -> list[Gain]:
    """Draw a connected network.

    Parameters
    ----------
    draw
        Where chance comes from.
    parts
        How many parts there are, at least 2.
    more
        How many couplings there are besides those of a spanning tree; a pair may be coupled twice.
    wrong
        Chance of each coupling to have another ratio than its parts' speeds.
    """
    speeds = [
        draw.choice((-1, 1)) * Fraction(draw.randint(1, 12), draw.randint(1, 12))
        for _ in range(parts)
    ]
    # A tree with long ways, so that loops are long as well as short.
    pairs = [(draw.randrange(max(0, part - 3), part), part) for part in range(1, parts)]
    pairs += [draw.sample(range(parts), 2) for _ in range(more)]
    gains = set()
    for pair in pairs:
        a, b = sorted(pair)
        ratio = speeds[b] / speeds[a]
        if draw.random() < wrong:
            ratio *= draw.choice((-1, 2, -2, Fraction(1, 2), Fraction(3, 2)))
        gains.add((a, b, ratio))
    return sorted(gains)
