"""The real saves beside the project: their region files taken apart by plain code.

The saves are from public repositories and lie beside the project, each under its own licence; they
are not part of it. What is here but the last three functions shares nothing with the tool.
"""

from __future__ import annotations

import gzip
import json
import random
import re
import struct
import zlib
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import lz4.block
import pytest

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import ChunkContent, read_chunk
from analyzer.save.files.locate import locate_save
from analyzer.save.inventory.inventory import Inventory
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import Stream
from analyzer.save.reading.region_slots import walk_slots
from tests.support.command import lineshaft

WORLDS = Path(__file__).parents[3] / "shared" / "worlds"
OLD_SAVES = (
    "prismarine-provider-anvil/1.8.9",
    "prismarine-provider-anvil/1.9",
    "prismarine-provider-anvil/1.11.2",
    "prismarine-provider-anvil/1.12.2",
)
#: Saves whose chunks were packed anew, and the one that they were made from.
DERIVED = {
    "derived/external-mixed": "prismarine-provider-anvil/1.16",
    "derived/lz4": "prismarine-provider-anvil/1.16",
}
#: From 1.13 on, as some program for the game wrote them.
WRITTEN_SAVES = (
    "bluenbt/1.20.1",
    "prismarine-provider-anvil/1.13.2",
    "prismarine-provider-anvil/1.14.4",
    "prismarine-provider-anvil/1.16",
    "prismarine-provider-anvil/1.17.1",
    "prismarine-provider-anvil/1.18.2",
    "prismarine-provider-anvil/1.19.4",
    "prismarine-provider-anvil/1.20.6",
    "prismarine-provider-anvil/1.21.1",
    "rustmc-server/26.1.2",
)
SAVES = tuple(sorted((*OLD_SAVES, *DERIVED, *WRITTEN_SAVES)))

needs_worlds = pytest.mark.skipif(
    not WORLDS.is_dir(), reason="needs the real saves in ../shared/worlds beside the project"
)


@dataclass(frozen=True)
class Held:
    """A chunk as a region file holds it: its compression and its compressed bytes."""

    path: Path
    chunk: Chunk
    kind: int
    body: bytes

    @property
    def data(self) -> bytes:
        return _inflated(self.body, self.kind)


@cache
def held(save: str) -> tuple[Held, ...]:
    """Return every chunk of a save, region by region in the order of slots."""
    paths = sorted(
        path for path in (WORLDS / save).rglob("r.*.mca") if path.parent.name == "region"
    )
    return tuple(chunk for path in paths for chunk in _region(path))


def _region(path: Path) -> Iterator[Held]:
    data = path.read_bytes()
    _, rx, rz, _ = path.name.split(".")
    for slot in range(1024 if data else 0):
        (location,) = struct.unpack_from(">I", data, 4 * slot)
        if location:
            chunk = Chunk(32 * int(rx) + slot % 32, 32 * int(rz) + slot // 32)
            at = (location >> 8) * 4096
            length, kind = struct.unpack_from(">iB", data, at)
            body = data[at + 5 : at + 4 + length]
            if kind & 128:
                body = (path.parent / f"c.{chunk.cx}.{chunk.cz}.mcc").read_bytes()
            yield Held(path, chunk, kind & 127, body)


def _inflated(body: bytes, kind: int) -> bytes:
    if kind == 1:
        return gzip.decompress(body)
    if kind == 2:
        return zlib.decompressobj().decompress(body)
    if kind == 3:
        return body
    assert kind == 4
    out, at = b"", 0
    while at < len(body):
        token, packed, size = struct.unpack_from("<Bii", body, at + 8)
        piece = body[at + 21 : at + 21 + packed]
        if size:
            raw = token >> 4 == 1
            out += piece if raw else lz4.block.decompress(piece, uncompressed_size=size)
        at += 21 + packed
    return out


def sample(save: str, number: int) -> list[Held]:
    """Return some chunks of each region file of a save, always the same ones.

    Half of them are from the quarter with the most compressed bytes, since chunks of air alone
    tell little.
    """
    draw = random.Random(save)
    chosen: list[Held] = []
    for path in sorted({one.path for one in held(save)}):
        every = sorted(
            (one for one in held(save) if one.path == path), key=lambda one: -len(one.body)
        )
        quarter = len(every) // 4
        rich = draw.sample(every[:quarter], min(number // 2, quarter))
        rest = [one for one in every if one not in rich]
        chosen += rich + draw.sample(rest, min(number - len(rich), len(rest)))
    return chosen


def with_entities(save: str) -> list[Held]:
    """Return the chunks of a save whose list of block entities, by its bytes, is not empty."""
    found = re.compile(rb"(?:block_e|TileE)ntities\x0a\0\0\0[^\0]")
    return [one for one in held(save) if found.search(one.data)]


@cache
def inventory(save: str) -> Inventory:
    """Have the tool list the block entities of a save."""
    return take_inventory(locate_save(WORLDS / save))


@cache
def survey_document(save: str) -> Any:
    """Return what the survey of a save prints as JSON."""
    done = lineshaft("survey", WORLDS / save, "--no-config", "--format", "json", encoding="utf-8")
    assert done.status == 0
    return json.loads(done.out)


def read_by_tool(save: str, chunks: Collection[Chunk]) -> dict[Chunk, ChunkContent]:
    """Have the tool read some chunks of a save whole, out of its region files.

    Raises
    ------
    AssertionError
        Where it cannot read one of them.
    """
    limits = Limits()
    found: dict[Chunk, ChunkContent] = {}

    def read_slot(stream: Stream, chunk: Chunk) -> ChunkContent:
        if chunk not in chunks:
            raise DamageError("not-asked", "nobody asked for it")
        found[chunk] = read_chunk(stream, chunk, limits)
        return found[chunk]

    for region in locate_save(WORLDS / save).regions:
        faults = walk_slots(region, limits, read_slot).faults
        assert {fault.reason for fault in faults} <= {"not-asked"}
    assert found.keys() == set(chunks)
    return found
