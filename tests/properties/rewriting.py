"""The same chunks written otherwise: tags in another order, chunks elsewhere in their files."""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import nbtlib

from analyzer.base.place import Chunk
from analyzer.demo.chunk import chunk_nbt
from analyzer.demo.compress import compress
from analyzer.demo.content import Content
from analyzer.demo.manner import Manner
from analyzer.demo.nbt import nbt_bytes
from analyzer.demo.region import SECTOR_BYTES, slot_bytes
from tests.properties.strategies_places import chunk_of
from tests.properties.strategies_saves import World

LISTS = ("block_entities", "TileEntities")
#: What a search by bytes alone would take for a list of one block entity.
DECOY = b"".join(
    b"\x09\x00" + bytes([len(name)]) + name.encode() + b"\x0a\0\0\0\1" for name in LISTS
)
FILLER = "tide_table"


def with_trees(world: World, change: Callable[[Any], Any]) -> World:
    """Return a world of the same chunks, each with its tree changed; all in their region files."""
    return replace(
        world,
        dimensions={
            name: _with_trees(content, world.manner, change)
            for name, content in world.dimensions.items()
        },
    )


def _with_trees(content: Content, manner: Manner, change: Callable[[Any], Any]) -> Content:
    slots: dict[Chunk, bytes] = {}
    for chunk in sorted({chunk_of(one.at) for one in content.placements} | content.empty):
        blocks = [one for one in content.placements if chunk_of(one.at) == chunk]
        finished = chunk not in content.unfinished
        nbt = chunk_nbt(chunk, blocks, manner, finished=finished)
        changed = nbt_bytes(change(nbtlib.File.parse(io.BytesIO(nbt))))
        slots[chunk] = slot_bytes(compress(changed, manner.compression), manner.compression)
    return replace(content, broken=slots)


def shuffled(tag: Any, chance: random.Random) -> Any:
    """Return a tree with the tags of every compound in another order; lists keep theirs."""
    if isinstance(tag, nbtlib.Compound):
        keys = chance.sample(sorted(tag), len(tag))
        return nbtlib.Compound({key: shuffled(tag[key], chance) for key in keys})
    if isinstance(tag, nbtlib.List) and len(tag):
        return nbtlib.List([shuffled(item, chance) for item in tag])
    return tag


def with_list_at(root: Any, *, first: bool, filler_bytes: int) -> Any:
    """Return a chunk's tree with its block entities before or behind everything else.

    Some bytes that look like such a list stand on the other side, or before it among the rest.
    """
    filler = nbtlib.ByteArray([byte - 256 if byte > 127 else byte for byte in DECOY])
    filler = nbtlib.ByteArray([*filler, *[0] * filler_bytes])
    level = {key: tag for key, tag in root.get("Level", root).items() if key not in LISTS}
    lists = {key: tag for key, tag in root.get("Level", root).items() if key in LISTS}
    rest = {FILLER: filler, **level}
    ordered = nbtlib.Compound({**lists, **rest} if first else {**rest, **lists})
    if "Level" not in root:
        return ordered
    others = {key: tag for key, tag in root.items() if key != "Level"}
    if first:
        return nbtlib.Compound({"Level": ordered, **others})
    return nbtlib.Compound({**others, "Level": ordered})


def rearrange(path: Path, chance: random.Random) -> None:
    """Put the chunks of a region file in another order, with sectors of rubbish between them."""
    data = path.read_bytes()
    header = bytearray(data[: 2 * SECTOR_BYTES])
    slots = [slot for slot in range(1024) if any(header[4 * slot : 4 * slot + 4])]
    body = b""
    for slot in chance.sample(slots, len(slots)):
        start = int.from_bytes(header[4 * slot : 4 * slot + 3], "big") * SECTOR_BYTES
        chunk = data[start : start + header[4 * slot + 3] * SECTOR_BYTES]
        body += chance.choice([b"", b"\x0a\0\xff" * 4096])[: SECTOR_BYTES * chance.randrange(3)]
        header[4 * slot : 4 * slot + 3] = (2 + len(body) // SECTOR_BYTES).to_bytes(3, "big")
        body += chunk
    path.write_bytes(bytes(header) + body)
