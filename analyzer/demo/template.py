"""Writing a structure template: the same blocks as in a save, with positions of their own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import nbtlib

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.demo.compress import gzip_bytes
from analyzer.demo.content import Placement
from analyzer.demo.nbt import nbt_bytes, to_tag


def write_template(
    path: Path,
    placements: Sequence[Placement],
    *,
    corner: Block | None = None,
    data_version: int = 3955,
    palettes: int = 1,
) -> None:
    """Write a structure template, as `template_bytes` makes it; its folder is made if missing.

    Examples
    --------
    >>> import tempfile
    >>> from analyzer.demo.content import place
    >>> with tempfile.TemporaryDirectory() as name:
    ...     path = Path(name) / "slipway" / "cradle.nbt"
    ...     write_template(path, [place((3, 64, -20), "quayworks:line_shaft[axis=x]")])
    ...     path.read_bytes()[:2].hex()
    '1f8b'
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(
        template_bytes(placements, corner=corner, data_version=data_version, palettes=palettes)
    )


def template_bytes(
    placements: Sequence[Placement],
    *,
    corner: Block | None = None,
    data_version: int = 3955,
    palettes: int = 1,
) -> bytes:
    """Return the bytes of a structure template; equal input gives equal bytes.

    Parameters
    ----------
    placements
        Its blocks, in the order in which they are listed; none gives an empty template.
    corner
        The block that becomes (0, 0, 0); by default the least of each coordinate.
    data_version
        Data version that it carries.
    palettes
        How many palettes it has. With more than one the game chooses when it places the template;
        here all of them are alike.
    """
    low = corner if corner is not None else _least(placements)
    states = sorted({placement.state for placement in placements})
    number = {state: index for index, state in enumerate(states)}
    entries = nbtlib.List[nbtlib.Compound]([_palette_entry(state) for state in states])
    blocks = nbtlib.List[nbtlib.Compound](
        [_block(placement, low, number[placement.state]) for placement in placements]
    )
    content: dict[str, Any] = {
        "size": nbtlib.List[nbtlib.Int](_size(placements, low)),
        "entities": nbtlib.List[nbtlib.Compound]([]),
        "blocks": blocks,
    }
    if palettes == 1:
        content["palette"] = entries
    else:
        content["palettes"] = nbtlib.List[nbtlib.List[nbtlib.Compound]]([entries] * palettes)
    return gzip_bytes(nbt_bytes({**content, "DataVersion": data_version}))


def _least(placements: Sequence[Placement]) -> Block:
    if not placements:
        return Block(0, 0, 0)
    return Block(*(min(axis) for axis in zip(*(one.at for one in placements), strict=True)))


def _size(placements: Sequence[Placement], low: Block) -> list[Any]:
    sizes = (
        max((one.at[axis] - low[axis] + 1 for one in placements), default=0) for axis in range(3)
    )
    return [nbtlib.Int(size) for size in sizes]


def _block(placement: Placement, low: Block, state: int) -> Any:
    place = [nbtlib.Int(at - corner) for at, corner in zip(placement.at, low, strict=True)]
    block = nbtlib.Compound({"pos": nbtlib.List[nbtlib.Int](place), "state": nbtlib.Int(state)})
    if placement.entity is not None:
        # A template keeps no position of a block entity but the block's own.
        block["nbt"] = to_tag(
            {k: v for k, v in placement.entity.items() if k not in ("x", "y", "z")}
        )
    return block


def _palette_entry(state: BlockState) -> Any:
    entry: dict[str, Any] = {"Name": state.name}
    if state.properties:
        entry["Properties"] = dict(state.properties)
    return to_tag(entry)
