"""A build as files: a save of its own, as the game would have left it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

import nbtlib

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.base.place import Chunk as WrittenChunk
from analyzer.demo.content import Content
from analyzer.demo.content import Placement as Written
from analyzer.demo.manner import Manner
from analyzer.demo.write import write_save
from tests.grown.gaps import RING
from tests.judge.entries import DATA_VERSION
from tests.judge.placed import Placement
from tests.judge.stored import Tagged
from tests.judge.views import Chunk

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

#: Sectors of a chunk that claims to be compressed and is not: length, kind, and no such data.
NONSENSE = (13).to_bytes(4, "big") + b"\2" + b"no turning"


def write_build(
    folder: Path,
    build: Iterable[Placement],
    *,
    data_version: int = DATA_VERSION,
    gaps: Mapping[Chunk, str] = MappingProxyType({}),
    empty: Collection[Chunk] = (),
) -> None:
    """Write a build as a save, its block entities in the order of the build.

    In the place of each gap there is a chunk that cannot be looked at, or none; `empty` are
    further chunks to write.
    """
    by_dimension: dict[str, list[Written]] = {}
    for placement in build:
        by_dimension.setdefault(placement.dimension, []).append(_written(placement))
    write_save(
        folder,
        {name: _content(name, blocks, gaps, empty) for name, blocks in by_dimension.items()},
        manner=Manner(data_version=data_version, ring_chunks=RING),
    )


def _content(
    name: str, blocks: list[Written], gaps: Mapping[Chunk, str], empty: Collection[Chunk]
) -> Content:
    def chunks(way: str) -> frozenset[WrittenChunk]:
        return frozenset(
            WrittenChunk(cx, cz)
            for (dimension, cx, cz), its in gaps.items()
            if (dimension, its) == (name, way)
        )

    return Content(
        tuple(blocks),
        empty=frozenset(WrittenChunk(cx, cz) for dimension, cx, cz in empty if dimension == name),
        unfinished=chunks("unfinished"),
        absent=chunks("absent"),
        broken=dict.fromkeys(chunks("broken"), NONSENSE),
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
