"""What the types of one random catalogue have in common."""

from __future__ import annotations

import random
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class Taste:
    """Values to choose from, and how likely the types have this or that.

    `constant`: a number is one; `picky`: a rim lists fewer placements than it could. The last
    ones are the chances of a switch, a governor, a belt, an own offset, another cell, and a
    recorded speed; 0 in most catalogues, so that many builds have only some of it.
    """

    teeth: list[int]
    factors: list[int | str]
    base_rpm: Decimal
    torques: list[int | str]
    loads: list[int | str]
    constant: float
    picky: float
    fits: list[str]
    switches: float
    governors: float
    belts: float
    offsets: float
    cells: float
    records: float


def make_taste(rng: random.Random) -> Taste:
    """Choose what the types of a catalogue are to be like."""
    calm = rng.random() < 0.6
    teeth = rng.choice([[12], [8, 16], [8, 16, 24], [rng.randint(5, 64) for _ in range(3)]])
    wild: list[int | str] = ["1.5", "-0.5", "0.75", 2, -3, "-1.25", "0.1"]
    vast: list[int | str] = [10**9, "-0.000000001"]
    factors: list[int | str] = [1, -1]
    if not calm:
        factors = [1, 1, -1, -1, *rng.sample(wild, 2)]
    elif rng.random() < 0.1:
        factors = [1, *vast]
    return Taste(
        teeth=teeth,
        factors=factors,
        base_rpm=Decimal(rng.choice(["4", "8", "16", "12.5", "7"])),
        torques=rng.choice([[32], [8, 16], [24, "2.5", 0], [4]]),
        loads=rng.choice([[8], [4, 2], ["0.25", 3, 12, 0], [30, 4]]),
        constant=rng.choice([0.4, 0.7, 0.95]),
        picky=rng.choice([0, 0.2, 0.5]),
        fits=rng.choice([[], [], ["quayworks-heavy"], ["quayworks-heavy", "quayworks"]]),
        switches=rng.choice([0, 0, 0, 0.2, 0.5]),
        governors=rng.choice([0, 0, 0.2, 0.5]),
        belts=rng.choice([0, 0, 0, 0.1, 0.4]),
        offsets=rng.choice([0, 0, 0, 0.3]),
        cells=rng.choice([0, 0, 0, 0.4]),
        records=rng.choice([0, 0, 0.3, 0.9]),
    )
