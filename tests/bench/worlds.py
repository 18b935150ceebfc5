"""Big saves, tiled from the real ones beside the project.

Each chunk of a real region is used again and again, its positions put right, and compressed anew as
the game does (zlib, level 6), so that reading one costs what it costs in a real save. The largest
save is compressed by libdeflate, level 6, which takes less than half the time.
"""

from __future__ import annotations

import math
import random
import struct
import zlib
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import deflate
import nbtlib

from tests.bench.tiles import Tile, full_chunks, parse, tile_of, written

WORLDS = Path(__file__).parents[3] / "shared" / "worlds"
#: Regions that the chunks come from: one program writes the list of block entities early, one last.
EARLY = WORLDS / "prismarine-provider-anvil/1.21.1/region/r.0.0.mca"
LAST = WORLDS / "bluenbt/1.20.1/region/r.0.0.mca"

#: The twenty parts that a chunk gets: two rows to the south, each a wheel, shafts, and a layer.
ROWS = {
    3: ("tide_wheel", *["line_shaft"] * 14, "strand_layer"),
    5: ("tide_wheel", *["line_shaft"] * 2, "strand_layer"),
}


@dataclass(frozen=True)
class Plan:
    """A save to build.

    Parameters
    ----------
    chunks
        How many full chunks it has.
    source
        Region file that they come from.
    share
        Share of the chunks that hold twenty parts.
    quickly
        Whether libdeflate compresses instead of zlib.
    """

    chunks: int
    source: Path = EARLY
    share: float = 0.0
    quickly: bool = False

    @property
    def regions(self) -> list[tuple[int, int]]:
        """The regions of the save, a square of them as far as it goes."""
        count = math.ceil(self.chunks / 1024)
        side = math.ceil(count**0.5)
        return [(number % side, number // side) for number in range(count)]


def build(plan: Plan, folder: Path) -> Path:
    """Build a save; return its folder. One that is there already is taken as it is."""
    if (folder / "level.dat").exists():
        return folder
    contents = full_chunks(plan.source)
    plain = [tile_of(content) for content in contents]
    driven = [tile_of(with_parts(content)) for content in contents]
    region = folder / "region"
    region.mkdir(parents=True, exist_ok=True)
    write = partial(_write_region, plan=plan, folder=region, plain=plain, driven=driven)
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:
        list(pool.map(write, plan.regions))
    data = nbtlib.Compound({"Data": nbtlib.Compound({"LevelName": nbtlib.String("Bench")})})
    nbtlib.File(data, gzipped=True).save(folder / "level.dat")
    return folder


def with_parts(content: bytes) -> bytes:
    """Put a row of twenty parts into the lowest section of nothing but air of a chunk."""
    root = parse(content)
    section = next(one for one in root["sections"] if _is_air(one))
    states = [
        "minecraft:air",
        *sorted({f"quayworks:{name}" for row in ROWS.values() for name in row}),
    ]
    section["block_states"]["palette"] = nbtlib.List[nbtlib.Compound](map(_state, states))
    # A cell's number is y, z, x.
    cells = [0] * 4096
    entities = []
    for x, z, name in ((x, z, name) for x, row in ROWS.items() for z, name in enumerate(row)):
        cells[16 * z + x] = states.index(f"quayworks:{name}")
        entities.append(
            nbtlib.Compound(
                id=nbtlib.String(f"quayworks:{name}"),
                x=nbtlib.Int(x),
                y=nbtlib.Int(16 * int(section["Y"])),
                z=nbtlib.Int(z),
            )
        )
    longs = [sum(cells[16 * row + place] << 4 * place for place in range(16)) for row in range(256)]
    section["block_states"]["data"] = nbtlib.LongArray(longs)
    root["block_entities"] = nbtlib.List[nbtlib.Compound]([*root["block_entities"], *entities])
    return written(root)


def _is_air(section: nbtlib.Compound) -> bool:
    palette = section.get("block_states", {}).get("palette", [])
    return [str(state["Name"]) for state in palette] == ["minecraft:air"]


def _state(name: str) -> nbtlib.Compound:
    state = nbtlib.Compound(Name=nbtlib.String(name))
    if name.startswith("quayworks:"):
        turned = {"axis": "z"} if name.endswith("shaft") else {"facing": "south"}
        state["Properties"] = nbtlib.Compound(
            {key: nbtlib.String(value) for key, value in turned.items()}
        )
    return state


def _write_region(
    region: tuple[int, int], *, plan: Plan, folder: Path, plain: list[Tile], driven: list[Tile]
) -> None:
    rx, rz = region
    index = plan.regions.index(region)
    count = min(1024, plan.chunks - 1024 * index)
    chance = random.Random(index)
    header, pieces, sector = bytearray(8192), [], 2
    for slot in range(count):
        cx, cz = 32 * rx + slot % 32, 32 * rz + slot // 32
        tiles = driven if chance.random() < plan.share else plain
        content = tiles[slot % len(tiles)].at(cx, cz)
        body = deflate.zlib_compress(content, 6) if plan.quickly else zlib.compress(content, 6)
        piece = struct.pack(">IB", len(body) + 1, 2) + body
        piece += bytes(-len(piece) % 4096)
        struct.pack_into(">I", header, 4 * slot, sector << 8 | len(piece) // 4096)
        struct.pack_into(">I", header, 4096 + 4 * slot, 1_700_000_000)
        pieces.append(piece)
        sector += len(piece) // 4096
    (folder / f"r.{rx}.{rz}.mca").write_bytes(bytes(header) + b"".join(pieces))
