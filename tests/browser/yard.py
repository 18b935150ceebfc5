"""A big save for the page: many halls of as many parts each, of which most have something wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from analyzer.demo.content import Placement
from analyzer.demo.parts import part, row
from tests.support.saves import save_of

#: Halls stand this far apart.
_ALONG, _ACROSS, _STOREYS = 80, 8, 3


def big_yard(folder: Path, *, halls: int, parts: int) -> Path:
    """Write a save of halls of as many parts each; return its folder.

    One after the other they are overloaded, held by a ring of three gears, held by two pairs of
    gears that disagree, too fast, driven opposite ways, and well.
    """
    placements = []
    for hall in range(halls):
        at = (
            _ALONG * (hall % 40) - 1600,
            40 + 12 * (hall // 40 % _STOREYS),
            _ACROSS * (hall // (40 * _STOREYS)) - 60,
        )
        placements += _hall(hall % 6, at, parts)
    return save_of(folder, placements)


def _hall(kind: int, at: tuple[int, int, int], parts: int) -> Iterator[Placement]:
    """Place a row from west to east, its last part a machine, and what is wrong at its east end."""
    x, y, z = at
    wheel, shaft, lathe = "tide_wheel[facing=east]", "line_shaft[axis=x]", "spar_lathe[axis=x]"
    if kind == 0:
        yield from row(at, "e", wheel, *[shaft] * (parts - 6), *[lathe] * 5)
    elif kind == 1:
        end = x + parts - 3
        yield from row(at, "e", wheel, *[shaft] * (parts - 4), "bull_gear_24[axis=x]")
        yield part((end + 1, y + 1, z), "bull_gear_24[axis=y]")
        yield part((end + 1, y, z + 1), "bull_gear_24[axis=z]")
    elif kind == 2:
        low = ["bull_gear_24[axis=x]", shaft, "bull_gear_36[axis=x]"]
        yield from row(at, "e", wheel, *[shaft] * (parts - 7), *low)
        high = ["trundle_12[axis=x]", shaft, "trundle_12[axis=x]"]
        yield from row((x + parts - 6, y + 1, z + 1), "e", *high)
    elif kind == 3:
        yield from row(at, "e", wheel, *[shaft] * (parts - 14), "bull_gear_24[axis=x]")
        for step in range(6):
            end = (x + parts - 13 + step, y + 1 + step, z + 1 + step)
            yield from row(end, "e", "trundle_12[axis=x]", "bull_gear_24[axis=x]")
    elif kind == 4:
        yield from row(at, "e", wheel, *[shaft] * (parts - 3), lathe, "tide_wheel[facing=west]")
    else:
        yield from row(at, "e", wheel, *[shaft] * (parts - 3), *[lathe] * 2)
