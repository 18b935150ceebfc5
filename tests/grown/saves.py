"""A build as files: a save of its own, as the game would have left it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import nbtlib

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.demo.content import Content
from analyzer.demo.content import Placement as Written
from analyzer.demo.manner import Manner
from analyzer.demo.write import write_save
from tests.judge.placed import Placement
from tests.judge.stored import Tagged

TAGS = {
    "byte": nbtlib.Byte,
    "short": nbtlib.Short,
    "int": nbtlib.Int,
    "long": nbtlib.Long,
    "float": nbtlib.Float,
    "double": nbtlib.Double,
    "string": nbtlib.String,
    "int_array": nbtlib.IntArray,
}


def write_build(folder: Path, build: Iterable[Placement], *, data_version: int = 3955) -> None:
    """Write a build as a save, its block entities in the order of the build."""
    by_dimension: dict[str, list[Written]] = {}
    for placement in build:
        by_dimension.setdefault(placement.dimension, []).append(_written(placement))
    write_save(
        folder,
        {name: Content(tuple(blocks)) for name, blocks in by_dimension.items()},
        manner=Manner(data_version=data_version),
    )


def _written(placement: Placement) -> Written:
    state = BlockState(placement.block, tuple(sorted(placement.properties.items())))
    entity = None if placement.data is None else _plain(placement.data)
    return Written(Block(*placement.at), state, entity)


def _plain(value: Any) -> Any:
    if isinstance(value, Tagged):
        return TAGS[value.kind](value.value)
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return [_plain(item) for item in value] if isinstance(value, list) else value
