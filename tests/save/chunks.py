"""Chunks and region files written by plain means, well-formed or not."""

from __future__ import annotations

import gzip
import struct
import zlib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import lz4.block

from analyzer.save.files.save_files import RegionFile
from tests.save.nbt_bytes import (
    Tag,
    compound,
    compound_of,
    integer,
    list_of,
    long_array,
    text,
    tree,
)

SECTOR = 4096
ROOT_VERSION = 3955
LEVEL_VERSION = 2586


def palette_entry(state: str) -> Tag:
    """Return the palette entry of a state written as name[property=value,...]."""
    name, _, rest = state.partition("[")
    if not rest:
        return compound(Name=text(name))
    pairs = (item.split("=") for item in rest.rstrip("]").split(","))
    properties = compound_of({key: text(value) for key, value in pairs})
    return compound(Name=text(name), Properties=properties)


def pack(indices: Sequence[int], bits: int, *, spanning: bool) -> list[int]:
    """Pack indices bit by bit into signed 64-bit words: slow and plain."""
    words: list[int] = []
    word, used = 0, 0
    for index in indices:
        if spanning:
            for place in range(bits):
                word |= (index >> place & 1) << used
                used += 1
                if used == 64:
                    words.append(word)
                    word, used = 0, 0
        else:
            if used + bits > 64:
                words.append(word)
                word, used = 0, 0
            word |= index << used
            used += bits
    if used:
        words.append(word)
    return [value - 2**64 if value >= 2**63 else value for value in words]


def width(palette: Sequence[str]) -> int:
    bits = 4
    while 1 << bits < len(palette):
        bits += 1
    return bits


def section(
    height: int, palette: Sequence[str], cells: Mapping[int, int], *, version: int = ROOT_VERSION
) -> Tag:
    """Return a section whose cells have palette entry 0 unless `cells` says another."""
    indices = [cells.get(cell, 0) for cell in range(4096)]
    words = long_array(pack(indices, width(palette), spanning=version < 2529))
    entries = list_of(*map(palette_entry, palette))
    y = Tag(1, struct.pack(">b", height))
    if version < 2836:
        return compound(Y=y, Palette=entries, BlockStates=words)
    if len(palette) == 1:
        return compound(Y=y, block_states=compound(palette=entries))
    return compound(Y=y, block_states=compound(palette=entries, data=words))


def entity(name: str, x: int, y: int, z: int, **more: Tag) -> Tag:
    return compound(id=text(name), x=integer(x), y=integer(y), z=integer(z), **more)


def chunk_tree(
    cx: int,
    cz: int,
    *,
    version: int | None = ROOT_VERSION,
    status: str | None = "minecraft:full",
    entities: Iterable[Tag] | None = (),
    sections: Iterable[Tag] = (),
    last: bool = False,
    more: Mapping[str, Tag] | None = None,
) -> bytes:
    """Return a chunk's tree; `last` puts the block entities after everything else."""
    wrapped = version is None or version < 2844
    content: dict[str, Tag] = {}
    listed = {"TileEntities" if wrapped else "block_entities": list_of(*(entities or ()))}
    if entities is not None and not last:
        content |= listed
    content |= {"xPos": integer(cx), "zPos": integer(cz), **(more or {})}
    content["Sections" if wrapped else "sections"] = list_of(*sections)
    if status is not None:
        content["Status"] = text(status)
    if entities is not None and last:
        content |= listed
    dated = {} if version is None else {"DataVersion": integer(version)}
    if wrapped:
        return tree(compound_of({**dated, "Level": compound_of(content)}))
    # As in real chunks, the version need not come first.
    return tree(compound_of({**content, **dated}))


def lz4_block(data: bytes, *, raw: bool = False, level: int = 6) -> bytes:
    body = data if raw else lz4.block.compress(data, store_size=False)
    token = (0x10 if raw else 0x20) | level
    return struct.pack("<8sBiiI", b"LZ4Block", token, len(body), len(data), 0) + body


LZ4_END = struct.pack("<8sBiiI", b"LZ4Block", 0x16, 0, 0, 0)


def compress(data: bytes, compression: int) -> bytes:
    if compression == 1:
        return gzip.compress(data, mtime=0)
    if compression == 2:
        return zlib.compress(data)
    if compression == 4:
        pieces = [data[at : at + 65536] for at in range(0, len(data), 65536)]
        return b"".join(map(lz4_block, pieces)) + LZ4_END
    return data


def broken_after(data: bytes) -> bytes:
    """Return a zlib stream that gives some bytes and then is damaged."""
    packer = zlib.compressobj()
    # A block of type 3 is none: RFC 1951, 3.2.3.
    return packer.compress(data) + packer.flush(zlib.Z_SYNC_FLUSH) + b"\x07"


def stored(data: bytes, compression: int = 2) -> bytes:
    """Return a chunk as it stands in its sectors."""
    payload = compress(data, compression)
    return struct.pack(">iB", len(payload) + 1, compression) + payload


def region(slots: Mapping[int, bytes], *, pad: bool = True) -> bytes:
    """Return a region file with each slot's bytes in sectors of its own."""
    header = bytearray(2 * SECTOR)
    body = b""
    for slot, data in slots.items():
        sector = 2 + len(body) // SECTOR
        count = -(-len(data) // SECTOR)
        struct.pack_into(">I", header, 4 * slot, sector << 8 | min(count, 255))
        body += data.ljust(count * SECTOR, b"\x00")
    whole = bytes(header) + body
    return whole if pad else whole.rstrip(b"\x00")


def with_location(data: bytes, slot: int, sector: int, count: int) -> bytes:
    """Return a region file with one slot's location replaced."""
    changed = bytearray(data)
    struct.pack_into(">I", changed, 4 * slot, sector << 8 | count)
    return bytes(changed)


def region_file(folder: Path, data: bytes, rx: int = 0, rz: int = 0) -> RegionFile:
    """Write a region file, and return what `locate_save` would say of it."""
    folder.mkdir(parents=True, exist_ok=True)
    name = f"r.{rx}.{rz}.mca"
    (folder / name).write_bytes(data)
    return RegionFile("unnamed", rx, rz, name, folder / name, folder)
