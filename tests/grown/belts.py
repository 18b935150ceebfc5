"""The partners of belts: whom a part names, and how its data say so."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from tests.grown.data import put
from tests.judge.partners import HEIGHT_IN_THE_MIDDLE, HEIGHT_LAST, HEIGHT_LAST_SINCE
from tests.judge.parts import Part
from tests.judge.placed import Place, Placement
from tests.judge.stored import Tagged, steps_of
from tests.judge.vectors import Vector, add, minus

#: Data that are no position.
RUBBISH = "rubbish"


def choose_partner(
    rng: random.Random, part: Part, parts: Mapping[Place, Part], *, astray: float
) -> Vector | str | None:
    """Return whom a part is to name: mostly one that it can be linked with, or nobody."""
    dimension = part.place[0]
    if rng.random() < astray:
        return _nobody_good(rng, part, [at for there, at in parts if there == dimension])
    fitting = [
        other.at
        for other in parts.values()
        if other.place[0] == dimension and other.link is not None and other.axis == part.axis
    ]
    return rng.choice(fitting[-30:]) if fitting and rng.random() < 0.8 else None


def _nobody_good(rng: random.Random, part: Part, others: list[Vector]) -> Vector | str:
    near = add(part.at, (rng.randint(-5, 5), rng.randint(-5, 5), rng.randint(-5, 5)))
    far = add(part.at, (rng.choice([-1, 1]) * rng.randint(20, 6000), 0, rng.randint(-900, 900)))
    return rng.choice([part.at, near, far, RUBBISH, *rng.sample(others, min(2, len(others)))])


def tie(
    rng: random.Random,
    placement: Placement,
    rule: dict[str, Any],
    partner: Vector | str | None,
    data_version: int,
) -> Placement:
    """Return a block whose data name a partner; as it is, for nobody or where it keeps no data."""
    if partner is None or placement.data is None:
        return placement
    path = steps_of(rule["stored"])
    if partner == RUBBISH:
        return put(placement, path, _rubbish(rng, rule))
    at = minus(partner, placement.at) if rule.get("relative", False) else partner
    return put(placement, path, _stored(rng, rule, at, data_version))


def _stored(rng: random.Random, rule: dict[str, Any], at: Vector, data_version: int) -> Any:
    if rule["form"] == "packed":
        return Tagged("long", packed(at, data_version))
    numbers = [Tagged(_kind(rng, value), value) for value in at]
    if rule["form"] == "named":
        return dict(zip(rule.get("names", ("x", "y", "z")), numbers, strict=True))
    if rng.random() < 0.6:
        return Tagged("int_array", tuple(at))
    kind = "short" if all(number.kind == "short" for number in numbers) else "int"
    return [Tagged(kind, number.value) for number in numbers]


def _kind(rng: random.Random, value: int) -> str:
    return rng.choice(["int", "int", "long", "short"]) if abs(value) < 2**15 else "int"


def _rubbish(rng: random.Random, rule: dict[str, Any]) -> Any:
    number = Tagged("int", rng.randint(-9, 9))
    if rule["form"] == "packed":
        return rng.choice([number, Tagged("string", "up"), Tagged("double", 0.5)])
    bad = rng.choice(
        [Tagged("string", "5"), Tagged("long", 2 * 10**9), Tagged("double", 0.5), None]
    )
    if rule["form"] == "list":
        return Tagged("int_array", (3, 4)) if bad is None else [bad, bad, bad]
    names = rule.get("names", ("x", "y", "z"))
    found = {names[0]: number, names[1]: bad, names[2]: number}
    return {name: value for name, value in found.items() if value is not None}


def packed(at: Vector, data_version: int) -> int:
    """Return a position in 64 bits, as a signed number."""
    fields = HEIGHT_LAST if data_version >= HEIGHT_LAST_SINCE else HEIGHT_IN_THE_MIDDLE
    own = dict(zip("xyz", at, strict=True))
    number = 0
    for name, width in fields:
        number = (number << width) + own[name] % 2**width
    return number - 2**64 if number >= 2**63 else number
