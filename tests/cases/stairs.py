"""Stairs of gears that double a speed at every step."""

from __future__ import annotations

from analyzer.demo.content import Placement
from analyzer.demo.parts import part
from tests.support.sketch import state_of


def stair(
    start: tuple[int, int, int], pairs: int, *machines: str, movers: int = 1
) -> list[Placement]:
    """Movers, then pairs of a bull gear of 24 on a trundle of 12, then machines in a row.

    All shafts run east. Each pair climbs one block and goes one south; the next pair's bull gear
    is one block east on the trundle's shaft.
    """
    x, y, z = start
    placed = [part((x + count, y, z), state_of("wheel:e")) for count in range(movers)]
    x += movers
    for _ in range(pairs):
        placed.append(part((x, y, z), state_of("b24:x")))
        y, z = y + 1, z + 1
        placed.append(part((x, y, z), state_of("t12:x")))
        x += 1
    placed += [part((x + east, y, z), state_of(token)) for east, token in enumerate(machines)]
    return placed
