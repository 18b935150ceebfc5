"""The numbers of a random catalogue's entries, and the values that blocks keep for them."""

from __future__ import annotations

import random
from decimal import Decimal
from typing import Any

from tests.judge.stored import Tagged

Stored = list[tuple[tuple[str | int, ...], list[Tagged | None]]]

#: Stored values that are no number for some field or for any.
USELESS = [
    Tagged("double", float("nan")),
    Tagged("float", float("inf")),
    Tagged("long", 2 * 10**9),
    Tagged("string", "8"),
    Tagged("int_array", (8, 8)),
    Tagged("int", 0),
    Tagged("short", -4),
]


class NumberMaker:
    """Makes the numbers of one entry; `stored` gathers what its blocks may keep for them."""

    def __init__(self, rng: random.Random, *, constant: float, keeps_data: bool) -> None:
        self._rng = rng
        self._constant = constant
        self.keeps_data = keeps_data
        self.stored: Stored = []

    def make(self, name: str, values: list[Any]) -> Any:
        """Return a number as a constant, by a property or stored; any may be of the values."""
        rng = self._rng
        exact = [Decimal(value) for value in values]
        if rng.random() < self._constant:
            return rng.choice(exact)
        if not self.keeps_data or rng.random() < 0.4:
            return {"property": name, "values": {f"{n}": value for n, value in enumerate(exact)}}
        path = self.path(name.title())
        number: dict[str, Any] = {"stored": path[0] if len(path) == 1 else list(path)}
        scale = Decimal(rng.choice([1, 1, 1, 2, "0.5", "0.1"]))
        if scale != 1 or rng.random() < 0.3:
            number["scale"] = scale
        found: list[Tagged | None] = [tagged(rng, value / scale) for value in exact]
        if rng.random() < 0.4:
            number["default"] = rng.choice(exact)
            found.append(None)
        elif rng.random() < 0.45:
            found += [*found, *found, None, *rng.sample(USELESS, 2)]
        self.stored.append((path, found))
        return number

    def path(self, key: str) -> tuple[str | int, ...]:
        """Return a path of a block entity's data that ends in a key of its own."""
        return self._rng.choice([(key,), ("Drive", key), ("Rows", key, 1)])


def tagged(rng: random.Random, value: Decimal) -> Tagged:
    if value == value.to_integral_value() and rng.random() < 0.6:
        fitting = ["long"] if abs(value) >= 2**15 else ["short", "int", "long"]
        fitting += ["byte"] * (abs(value) < 128)
        return Tagged(rng.choice(fitting), int(value))
    return Tagged(rng.choice(["float", "double"]), float(value))
