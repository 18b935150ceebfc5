"""Short ways to place quayworks parts."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from nbtlib import Long

from analyzer.base.block import parse_block_state
from analyzer.base.place import Block
from analyzer.demo.content import Placement

#: Steps to a neighbour, by the letter of the direction.
STEPS = {
    "e": Block(1, 0, 0),
    "w": Block(-1, 0, 0),
    "u": Block(0, 1, 0),
    "d": Block(0, -1, 0),
    "s": Block(0, 0, 1),
    "n": Block(0, 0, -1),
}


def part(at: tuple[int, int, int], state: str, **data: Any) -> Placement:
    """Place one quayworks part, with the block entity that its catalogue entry names.

    Parameters
    ----------
    at
        Where it stands.
    state
        Its block state without the namespace, such as ``line_shaft[axis=x]``.
    data
        What its block entity keeps.

    Raises
    ------
    KeyError
        For a block that the quayworks catalogue does not have.

    >>> part((0, 64, 0), "trundle_12[axis=x]").entity
    {'id': 'quayworks:gear'}
    """
    block = parse_block_state(f"quayworks:{state}")
    entity = _entities()[block.name]
    return Placement(Block(*at), block, None if entity is None else {"id": entity, **data})


def row(at: tuple[int, int, int], towards: str, *states: str) -> Iterator[Placement]:
    """Place parts in a row, the first at a position and each next one block further.

    Parameters
    ----------
    at
        Where the first part stands.
    towards
        Letter of the direction in which the row goes: one of e, w, u, d, s, n.
    states
        Their block states as for `part`; an empty text leaves a gap.
    """
    step = STEPS[towards]
    for count, state in enumerate(states):
        if state:
            x, y, z = (start + count * along for start, along in zip(at, step, strict=True))
            yield part((x, y, z), state)


def packed(at: tuple[int, int, int]) -> Any:
    """Pack a position into one long as data versions from 1952 on do (docs/save-format.md).

    >>> hex(packed((1, 2, 3)))
    '0x4000003002'
    >>> packed((-1, -1, -1))
    Long(-1)
    """
    x, y, z = at
    bits = (x & 0x3FFFFFF) << 38 | (z & 0x3FFFFFF) << 12 | y & 0xFFF
    return Long(bits - (bits >> 63 << 64))


@cache
def _entities() -> dict[str, str | None]:
    text = files("analyzer.demo").joinpath("quayworks.toml").read_text("utf-8")
    return {
        block: entry["entity"][0] if entry["entity"] else None
        for block, entry in tomllib.loads(text)["parts"].items()
    }
