"""A second way to read region files: nbtlib for the trees, and whole numbers for the bits."""

from __future__ import annotations

import gzip
import io
import struct
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import lz4.block
import nbtlib

from analyzer.base.place import Block

SECTOR = 4096
CELLS = 4096
AIR = "minecraft:air"
#: Name and sorted properties.
State = tuple[str, tuple[tuple[str, str], ...]]


def iter_chunks(folder: Path) -> Iterator[Any]:
    """Yield the root of every chunk in a folder of region files."""
    for path in sorted(folder.glob("r.*.mca")):
        data = path.read_bytes()
        _, rx, rz, _ = path.name.split(".")
        for slot in range(1024):
            (location,) = struct.unpack_from(">I", data, 4 * slot)
            if location:
                start = (location >> 8) * SECTOR
                length, kind = struct.unpack_from(">IB", data, start)
                payload = data[start + 5 : start + 4 + length]
                if kind >= 128:
                    cx, cz = 32 * int(rx) + slot % 32, 32 * int(rz) + slot // 32
                    payload = (folder / f"c.{cx}.{cz}.mcc").read_bytes()
                yield nbtlib.File.parse(io.BytesIO(_inflated(payload, kind % 128)))


def _inflated(payload: bytes, kind: int) -> bytes:
    if kind == 1:
        return gzip.decompress(payload)
    if kind == 2:
        return zlib.decompress(payload)
    if kind == 3:
        return payload
    whole = b""
    while payload:
        assert payload.startswith(b"LZ4Block")
        token, packed, plain, _ = struct.unpack_from("<BIII", payload, 8)
        body, payload = payload[21 : 21 + packed], payload[21 + packed :]
        whole += body if token < 0x20 else lz4.block.decompress(body, uncompressed_size=plain)
    return whole


def is_finished(root: Any) -> bool:
    """Return whether the world's generator has finished a chunk."""
    return _level(root)["Status"].removeprefix("minecraft:") in ("full", "postprocessed")


def entities_of(root: Any) -> list[Any]:
    """Return the block entities that a chunk lists."""
    level = _level(root)
    return list(level["TileEntities" if "TileEntities" in level else "block_entities"])


def blocks_of(root: Any) -> dict[Block, State]:
    """Return every block of a chunk but air."""
    level = _level(root)
    found = {}
    for section in level["Sections" if "Sections" in level else "sections"]:
        states = section.get("block_states", section)
        palette = states["Palette" if "Palette" in states else "palette"]
        longs = states.get("BlockStates", states.get("data"))
        spans = root["DataVersion"] < 2529
        indices = _indices(longs, len(palette), spans=spans) if longs is not None else [0] * CELLS
        for cell, index in enumerate(indices):
            entry = palette[index]
            if entry["Name"] != AIR:
                z, x = divmod(cell % 256, 16)
                at = Block(
                    16 * int(level["xPos"]) + x,
                    16 * int(section["Y"]) + cell // 256,
                    16 * int(level["zPos"]) + z,
                )
                properties = entry.get("Properties", {})
                pairs = ((str(name), str(value)) for name, value in properties.items())
                found[at] = (str(entry["Name"]), tuple(sorted(pairs)))
    return found


def _level(root: Any) -> Any:
    return root.get("Level", root)


def _indices(longs: Any, palette: int, *, spans: bool) -> list[int]:
    """Take the indices out of one long number, the first long its lowest bits."""
    bits = max(4, (palette - 1).bit_length())
    number = int.from_bytes(struct.pack(f"<{len(longs)}q", *map(int, longs)), "little")
    text = f"{number:0{64 * len(longs)}b}"[::-1]
    each = 64 // bits
    starts = (
        cell * bits if spans else 64 * (cell // each) + bits * (cell % each)
        for cell in range(CELLS)
    )
    return [int(text[start : start + bits][::-1], 2) for start in starts]
