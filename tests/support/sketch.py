"""Builds sketched as text.

A sketch is a plan seen from above: each line a row of blocks from west to east, the first line the
northernmost; ``---`` on a line of its own goes one block up. ``.`` is air. A part is written as a
short name, and after a colon what its state says: an axis (``x``, ``y``, ``z``), a direction
(``n``, ``s``, ``e``, ``w``, ``u``, ``d``) or ``property=value``, with commas between them::

    wheel:e  shaft:x  layer:e
    ---
    .        .        tread:n,walkers=2
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from analyzer.base.place import Block
from analyzer.demo.content import Placement
from analyzer.demo.parts import part

#: Block names of the quayworks parts by their short names.
SHORT = {
    "wheel": "tide_wheel",
    "tread": "treadwheel",
    "sluice": "sluice_wheel",
    "layer": "strand_layer",
    "picker": "oakum_picker",
    "lathe": "spar_lathe",
    "auger": "trunnel_auger",
    "winch": "slip_winch",
    "stirrer": "kettle_stirrer",
    "stone": "edge_stone",
    "shaft": "line_shaft",
    "oak": "oak_shaft",
    "t12": "trundle_12",
    "t15": "trundle_15",
    "b20": "bull_gear_20",
    "b24": "bull_gear_24",
    "b36": "bull_gear_36",
    "b48": "bull_gear_48",
    "bevel": "bevel_box",
    "riser": "riser_box",
    "engine": "wind_engine",
    "crown": "crown_wheel_30",
    "chain": "chain_wheel",
    "pinion": "chain_pinion",
    "sheave": "rope_sheave",
    "great": "great_sheave",
    "cross": "crossed_sheave",
    "clutch": "dog_clutch",
    "reverse": "tumbler_reverse",
    "balls": "flyball_governor",
    "weights": "lever_governor",
}
_DIRECTIONS = dict(zip("nsewud", ("north", "south", "east", "west", "up", "down"), strict=True))


def sketch(
    text: str,
    at: tuple[int, int, int] = (2, 64, 2),
    *,
    data: Mapping[str, Mapping[str, Any]] | None = None,
) -> tuple[Placement, ...]:
    """Read a sketch of quayworks parts.

    Parameters
    ----------
    text
        The sketch.
    at
        Position of its first token's cell: the westernmost, lowest, northernmost one.
    data
        What block entities keep, by the part's token.

    Raises
    ------
    ValueError
        For a token that is not of the form above.
    """
    placements = []
    layers = [layer.strip().splitlines() for layer in text.split("---")]
    for up, layer in enumerate(layers):
        for south, line in enumerate(layer):
            for east, token in enumerate(line.split()):
                if token != ".":
                    where = Block(at[0] + east, at[1] + up, at[2] + south)
                    placements.append(part(where, state_of(token), **(data or {}).get(token, {})))
    return tuple(placements)


def state_of(token: str) -> str:
    """Return the block state, without its namespace, that a token of a sketch stands for."""
    short, _, rest = token.partition(":")
    if short not in SHORT:
        raise ValueError(f"{short!r} in {token!r} is not one of {', '.join(SHORT)}")
    properties = ",".join(map(_property, filter(None, rest.split(","))))
    return f"{SHORT[short]}[{properties}]" if properties else SHORT[short]


def _property(item: str) -> str:
    if item in _DIRECTIONS:
        return f"facing={_DIRECTIONS[item]}"
    return f"axis={item}" if item in ("x", "y", "z") else item
