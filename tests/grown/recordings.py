"""Recorded speeds for a build that has been solved: faithful ones, and ones gone stale."""

from __future__ import annotations

import math
import random
import struct
from fractions import Fraction

from tests.grown.data import put
from tests.grown.recipes import Recipe
from tests.judge.entries import understand
from tests.judge.placed import Place, Placement
from tests.judge.stored import Tagged, steps_of
from tests.judge.verdicts import Verdict

WIDEST = {"byte": 7, "short": 15, "int": 31, "long": 63}
#: Where a double cannot hold what is to be kept.
TOO_FAST = 10**9


def record_speeds(
    rng: random.Random, recipe: Recipe, build: list[Placement], verdicts: list[Verdict]
) -> list[Placement]:
    """Return a build whose blocks keep the speeds that a program would have recorded."""
    at = {place: verdict for verdict in verdicts for place in verdict.members}
    careless = rng.choice([0, 0.1, 0.5])
    return [_recorded(rng, recipe, placement, at, careless) for placement in build]


def _recorded(
    rng: random.Random,
    recipe: Recipe,
    placement: Placement,
    at: dict[Place, Verdict],
    careless: float,
) -> Placement:
    rule = recipe.catalogue["parts"].get(placement.block, {}).get("recorded_rpm")
    verdict = at.get(placement.place)
    if rule is None or verdict is None or rng.random() < 0.1:
        return placement
    path = steps_of(rule["stored"])
    part = understand([recipe.catalogue], put(placement, path, Tagged("int", 1)))
    assert part is not None
    assert part.record is not None
    speed = verdict.speeds[placement.place] or Fraction(0)
    if verdict.state == "overloaded" and rng.random() < 0.5:
        speed = Fraction(0)
    if rng.random() < careless:
        speed = rng.choice([Fraction(0), -speed, 2 * speed, speed + 1, speed + Fraction(2, 5)])
    if rng.random() < careless / 20:
        return put(placement, path, rng.choice([Tagged("double", math.nan), Tagged("string", "")]))
    return put(placement, path, kept(rng, speed / part.record.unit))


def kept(rng: random.Random, number: Fraction) -> Tagged:
    """Return a number as some program would keep it, rounded to the width of a tag."""
    kind = rng.choice(["float", "float", "double", "byte", "short", "int", "long"])
    if abs(number) > TOO_FAST:
        return Tagged("double", 0.0)
    if kind not in WIDEST:
        return Tagged(kind, _jolted(rng, float(number), kind))
    if abs(number) >= 2 ** WIDEST[kind] - 1:
        kind = "long"
    return Tagged(kind, round(number))


def _jolted(rng: random.Random, real: float, kind: str) -> float:
    """Return a float of a width, now and then a last place or two beside the nearest."""
    layout = ("<f", "<i") if kind == "float" else ("<d", "<q")
    (bits,) = struct.unpack(layout[1], struct.pack(layout[0], real))
    if real != 0 and rng.random() < 0.2:
        bits += rng.choice([-1, 1, 2, 3])
    (found,) = struct.unpack(layout[0], struct.pack(layout[1], bits))
    return float(found)
