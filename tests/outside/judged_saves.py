"""What there is in a real save, by a general-purpose NBT library and plain code.

Every chunk is parsed whole, by amulet-nbt where it is installed and by nbtlib otherwise, and
palettes are unpacked bit by bit. Shares nothing with the tool.
"""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import nbtlib
import numpy as np

from tests.outside.judged_regions import held
from tests.support.check import Evidence, Source

REAL = Source(
    Evidence.DATA,
    "PrismarineJS/prismarine-provider-anvil, BlueMap-Minecraft/BlueNBT and rorychatt/rustmc-server:"
    " real saves of 1.8 to 26.1, parsed by amulet-nbt or nbtlib and unpacked by plain code",
    "github.com/PrismarineJS/prismarine-provider-anvil, github.com/BlueMap-Minecraft/BlueNBT,"
    " github.com/rorychatt/rustmc-server",
)
#: Properties by name, sorted.
Properties = tuple[tuple[str, str], ...]
#: One block entity: position, id, block name, properties.
Row = tuple[tuple[int, int, int], str, str, Properties]

# Large, and of no interest here.
_PASSED_OVER = frozenset(
    [
        "BlockLight",
        "SkyLight",
        "Biomes",
        "biomes",
        "Heightmaps",
        "PostProcessing",
        "Entities",
        "entities",
        "Structures",
        "structures",
        "TileTicks",
        "LiquidTicks",
        "block_ticks",
        "fluid_ticks",
    ]
)


@dataclass
class Judged:
    """What the judge found in a save."""

    rows: list[Row] = field(default_factory=list)
    unfinished: Counter[str] = field(default_factory=Counter)
    older: Counter[str] = field(default_factory=Counter)
    statuses: Counter[str] = field(default_factory=Counter)
    data_versions: set[int] = field(default_factory=set)


@cache
def judged(save: str) -> Judged:
    """Judge every chunk of a save."""
    found = Judged()
    for one in held(save):
        _judge_chunk(parse(one.data), found)
    found.rows.sort()
    return found


def parse(data: bytes) -> Any:
    """Return what is of interest of a tree as plain Python values."""
    try:
        import amulet_nbt
    except ImportError:
        return _plain(nbtlib.File.parse(io.BytesIO(data)))
    return _plain(amulet_nbt.load(data, compressed=False).compound)


def _plain(tag: Any) -> Any:
    kind = tag.tag_id
    if kind == 10:
        return {str(name): _plain(value) for name, value in tag.items() if name not in _PASSED_OVER}
    if kind == 9:
        return [_plain(value) for value in tag]
    if kind in (7, 11, 12):
        return tag.np_array if hasattr(tag, "np_array") else np.asarray(tag)
    if kind == 8:
        return str(tag)
    return float(tag) if kind in (5, 6) else int(tag)


def is_finished(root: Any) -> bool:
    """Tell whether the world's generator has finished a chunk of 1.13 or later."""
    status = root.get("Level", root)["Status"].removeprefix("minecraft:")
    return status in ("full", "fullchunk", "postprocessed")


def entities_of(root: Any) -> Any:
    """Return the block entities that a chunk lists."""
    content = root.get("Level", root)
    return content.get("TileEntities", content.get("block_entities", ()))


def sections_of(root: Any) -> Any:
    """Return a chunk's sections."""
    content = root.get("Level", root)
    return content.get("Sections", content.get("sections"))


def palette_of(section: Any) -> Any:
    """Return a section's palette; empty where it has none."""
    return section.get("block_states", section).get("palette", section.get("Palette", ()))


def indices_of(section: Any, version: int) -> np.ndarray:
    """Return the palette indices of a section's 4096 cells."""
    count = len(palette_of(section))
    if count == 1:
        return np.zeros(4096, int)
    words = section.get("block_states", section)
    words = np.asarray(words.get("data", words.get("BlockStates")))
    bits = 4
    while 2**bits < count:
        bits += 1
    # Every bit by itself, the lowest of each word first.
    line = np.unpackbits(words.astype("<i8").view(np.uint8), bitorder="little")
    if version < 2529:
        assert len(line) == bits * 4096
    else:
        line = line.reshape(-1, 64)[:, : 64 // bits * bits].reshape(-1)[: bits * 4096]
    found: np.ndarray = line.reshape(4096, bits) @ (1 << np.arange(bits))
    return found


def _judge_chunk(root: Any, found: Judged) -> None:
    version = root.get("DataVersion", 0)
    entities = entities_of(root)
    if version:
        found.data_versions.add(version)
    if version < 1451:
        found.statuses["old"] += 1
        found.older.update(entity["id"] for entity in entities)
        return
    if not is_finished(root):
        found.statuses["unfinished"] += 1
        found.unfinished.update(entity["id"] for entity in entities)
        return
    found.statuses["finished"] += 1
    for entity in entities:
        x, y, z = entity["x"], entity["y"], entity["z"]
        name, properties = _state_at(sections_of(root), x, y, z, version)
        found.rows.append(((x, y, z), entity["id"], name, properties))


def _state_at(sections: Any, x: int, y: int, z: int, version: int) -> tuple[str, Properties]:
    for section in sections:
        if section["Y"] == y // 16 and palette_of(section):
            index = indices_of(section, version)[y % 16 * 256 + z % 16 * 16 + x % 16]
            entry = palette_of(section)[index]
            return entry["Name"], tuple(sorted(entry.get("Properties", {}).items()))
    return "minecraft:air", ()
