"""Real saves of 1.8 to 26.1, read by a general-purpose NBT library as the judge.

The saves are from public repositories and lie beside the project, each under its own licence; they
are not part of it. The judge parses every chunk whole, with amulet-nbt where it is installed and
nbtlib otherwise, and unpacks palettes with the plain code below, which shares nothing with the
tool.
"""

from __future__ import annotations

import csv
import gzip
import io
import json
import struct
import zlib
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import lz4.block
import nbtlib
import pytest

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.demo.content import Placement
from analyzer.demo.template import write_template
from analyzer.save.inventory import Inventory
from analyzer.save.locate import locate_save
from analyzer.save.scan import Scan, SlotStatus, Wanted
from analyzer.save.scan_save import scan_save
from analyzer.save.survey import take_inventory
from tests.support.command import lineshaft

WORLDS = Path(__file__).parents[3] / "shared" / "worlds"
SAVES = (
    "bluenbt/1.20.1",
    "derived/external-mixed",
    "derived/lz4",
    "prismarine-provider-anvil/1.8.9",
    "prismarine-provider-anvil/1.9",
    "prismarine-provider-anvil/1.11.2",
    "prismarine-provider-anvil/1.12.2",
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

pytestmark = pytest.mark.skipif(
    not WORLDS.is_dir(), reason="needs the real saves in ../shared/worlds beside the project"
)

#: One block entity: position, id, block name, properties.
Row = tuple[tuple[int, int, int], str, str, tuple[tuple[str, str], ...]]


@dataclass
class Judged:
    """What the judge found in a save."""

    rows: list[Row] = field(default_factory=list)
    unfinished: Counter[str] = field(default_factory=Counter)
    older: Counter[str] = field(default_factory=Counter)
    statuses: Counter[str] = field(default_factory=Counter)
    data_versions: set[int] = field(default_factory=set)


def parse(data: bytes) -> Any:
    """Return a chunk's root as plain Python values."""
    try:
        import amulet_nbt
    except ImportError:
        return nbtlib.File.parse(io.BytesIO(data)).unpack()
    return plain(amulet_nbt.load(data, compressed=False).compound)


def plain(tag: Any) -> Any:
    kind = tag.tag_id
    if kind == 10:
        return {name: plain(value) for name, value in tag.items()}
    if kind == 9:
        return [plain(value) for value in tag]
    if kind in (7, 11, 12):
        return tag.np_array
    return tag.py_data


def chunks(folder: Path) -> Iterator[bytes]:
    for path in sorted(folder.glob("r.*.mca")):
        data = path.read_bytes()
        _, rx, rz, _ = path.name.split(".")
        for slot in range(1024 if data else 0):
            (location,) = struct.unpack_from(">I", data, 4 * slot)
            if location:
                at = (location >> 8) * 4096
                length, kind = struct.unpack_from(">iB", data, at)
                body = data[at + 5 : at + 4 + length]
                if kind & 128:
                    cx, cz = 32 * int(rx) + slot % 32, 32 * int(rz) + slot // 32
                    body = (folder / f"c.{cx}.{cz}.mcc").read_bytes()
                yield inflate(body, kind & 127)


def inflate(body: bytes, kind: int) -> bytes:
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


def state_at(sections: list[Any], x: int, y: int, z: int, version: int) -> tuple[str, Any]:
    """Return the name and properties of a block, one bit after the other."""
    for section in sections:
        if section["Y"] != y // 16:
            continue
        inner = section.get("block_states", section)
        palette = inner.get("palette", inner.get("Palette"))
        words = inner.get("data", inner.get("BlockStates"))
        if palette is None:
            break
        index = 0
        if len(palette) > 1:
            cell = y % 16 * 256 + z % 16 * 16 + x % 16
            bits = 4
            while 2**bits < len(palette):
                bits += 1
            if version < 2529:
                assert len(words) * 64 == bits * 4096
                places = range(cell * bits, cell * bits + bits)
            else:
                first = cell // (64 // bits) * 64 + cell % (64 // bits) * bits
                places = range(first, first + bits)
            for number, place in enumerate(places):
                word = int(words[place // 64]) % 2**64
                index += (word >> place % 64) % 2 << number
        entry = palette[index]
        return entry["Name"], tuple(sorted(entry.get("Properties", {}).items()))
    return "minecraft:air", ()


def indices(section: Any, version: int) -> list[int]:
    """Return the palette indices of a section's cells, by plain shifting."""
    inner = section.get("block_states", section)
    palette = inner.get("palette", inner.get("Palette"))
    if len(palette) == 1:
        return [0] * 4096
    words = [int(word) % 2**64 for word in inner.get("data", inner.get("BlockStates"))]
    bits = 4
    while 2**bits < len(palette):
        bits += 1
    if version < 2529:
        line = sum(word << 64 * number for number, word in enumerate(words))
        return [line >> bits * cell & 2**bits - 1 for cell in range(4096)]
    each = 64 // bits
    return [words[n // each] >> bits * (n % each) & 2**bits - 1 for n in range(4096)]


@cache
def judged(save: str) -> Judged:
    found = Judged()
    for folder in sorted((WORLDS / save).rglob("region")):
        for data in chunks(folder):
            judge_chunk(parse(data), found)
    found.rows.sort()
    return found


def judge_chunk(root: Any, found: Judged) -> None:
    version = root.get("DataVersion", 0)
    content = root.get("Level", root)
    entities = content.get("TileEntities", content.get("block_entities", []))
    if version:
        found.data_versions.add(version)
    if version < 1451:
        found.statuses["old"] += 1
        found.older.update(entity["id"] for entity in entities)
        return
    status = content["Status"].removeprefix("minecraft:")
    if status not in ("full", "fullchunk", "postprocessed"):
        found.statuses["unfinished"] += 1
        found.unfinished.update(entity["id"] for entity in entities)
        return
    found.statuses["finished"] += 1
    sections = content.get("Sections", content.get("sections"))
    for entity in entities:
        x, y, z = entity["x"], entity["y"], entity["z"]
        name, properties = state_at(sections, x, y, z, version)
        found.rows.append(((x, y, z), entity["id"], name, properties))


@cache
def inventory(save: str) -> Inventory:
    return take_inventory(locate_save(WORLDS / save))


@cache
def scanned(save: str, *, every_byte: bool) -> Scan:
    ids = {row[1] for row in judged(save).rows}
    # Every other id is wanted, so that some are kept and some are counted as unknown.
    wanted = dict.fromkeys(sorted(ids)[::2], (("Items", 0, "Count"), ("keepPacked",)))
    return scan_save(locate_save(WORLDS / save), Wanted(wanted, every_byte=every_byte))


def test_the_real_saves_hold_enough_to_judge_by() -> None:
    rows = {row for save in SAVES for row in judged(save).rows}
    assert len(rows) > 600
    assert len({row[1] for row in rows}) > 8


@pytest.mark.parametrize("save", SAVES)
def test_the_inventory_agrees_with_the_judge_in_every_block_entity(save: str) -> None:
    found = inventory(save)
    rows = sorted(
        (tuple(row.at), row.id, found.states[row.state].name, found.states[row.state].properties)
        for row in found.rows
    )
    assert rows == judged(save).rows
    assert dict(found.older) == judged(save).older


@pytest.mark.parametrize("save", SAVES)
def test_the_surveys_list_agrees_with_the_judge_row_by_row(save: str) -> None:
    done = lineshaft("survey", WORLDS / save, "--list", encoding="utf-8")
    assert done.status == 0
    rows = sorted(
        (
            (int(row["x"]), int(row["y"]), int(row["z"])),
            row["id"],
            row["block"],
            tuple(tuple(pair.split("=", 1)) for pair in filter(None, row["properties"].split(";"))),
        )
        for row in csv.DictReader(io.StringIO(done.out))
    )
    assert rows == judged(save).rows


@pytest.mark.parametrize("save", SAVES)
def test_the_surveys_document_agrees_with_the_judge_in_counts_and_properties(save: str) -> None:
    done = lineshaft("survey", WORLDS / save, "--format", "json", encoding="utf-8")
    assert done.status == 0
    found = {
        (entity["id"], name): (
            block["count"],
            {key: set(values) for key, values in block["properties"].items()},
        )
        for entity in json.loads(done.out)["entities"]
        for name, block in entity["blocks"].items()
    }
    expected: dict[tuple[str, str], tuple[int, dict[str, set[str]]]] = {}
    for _, entity, name, properties in judged(save).rows:
        count, values = expected.get((entity, name), (0, {}))
        for key, value in properties:
            values.setdefault(key, set()).add(value)
        expected[entity, name] = (count + 1, values)
    assert found == expected


@pytest.mark.parametrize("save", SAVES)
def test_every_chunk_ends_as_the_judge_says(save: str) -> None:
    counts = inventory(save).coverage.counts()
    expected = judged(save).statuses
    assert counts[SlotStatus.READ] == expected["finished"]
    assert counts[SlotStatus.UNFINISHED] == expected["unfinished"]
    assert counts[SlotStatus.OLD] == expected["old"]
    assert counts[SlotStatus.UNREADABLE] == counts[SlotStatus.SIFTED] == 0
    assert inventory(save).coverage.faults == ()
    assert set(inventory(save).facts.data_versions) == judged(save).data_versions


@pytest.mark.parametrize("save", SAVES)
def test_sifting_finds_what_reading_every_byte_finds(save: str) -> None:
    sifted, whole = scanned(save, every_byte=False), scanned(save, every_byte=True)
    assert sifted.leftovers == whole.leftovers
    assert candidates(sifted) == candidates(whole)
    counts = sifted.coverage.counts()
    assert counts[SlotStatus.ABSENT] == whole.coverage.counts()[SlotStatus.ABSENT]
    assert counts[SlotStatus.UNREADABLE] == 0


@pytest.mark.parametrize("save", SAVES)
def test_the_scan_agrees_with_the_judge(save: str) -> None:
    scan, judge = scanned(save, every_byte=False), judged(save)
    wanted = set(scan.candidates.entities)
    assert [row[:4] for row in candidates(scan)] == [row for row in judge.rows if row[1] in wanted]
    unknown = Counter(row[1] for row in judge.rows if row[1] not in wanted)
    unfinished = judge.unfinished
    unknown.update({name: n for name, n in unfinished.items() if name not in wanted})
    assert dict(scan.leftovers.unknown) == unknown
    assert scan.leftovers.unfinished == sum(unfinished[name] for name in wanted)


def candidates(scan: Scan) -> list[tuple[Any, ...]]:
    table = scan.candidates
    readings: dict[int, list[tuple[Any, ...]]] = {}
    for row, path, tag, integer in zip(
        table.readings.row.tolist(),
        table.readings.path.tolist(),
        table.readings.tag.tolist(),
        table.readings.integer.tolist(),
        strict=True,
    ):
        readings.setdefault(row, []).append((path, tag, integer))
    return sorted(
        (
            tuple(xyz),
            table.entities[table.entity[row]],
            table.states[table.state[row]].name,
            table.states[table.state[row]].properties,
            readings.get(row, []),
        )
        for row, xyz in enumerate(table.xyz.tolist())
    )


def test_other_compressions_and_external_files_hold_the_same_world() -> None:
    plain_save = "prismarine-provider-anvil/1.16"
    for other in ("derived/lz4", "derived/external-mixed"):
        assert inventory(other).rows == inventory(plain_save).rows
        assert inventory(other).states == inventory(plain_save).states
        assert inventory(other).fields == inventory(plain_save).fields
        mine, its = (inventory(save).coverage.regions for save in (other, plain_save))
        assert [region.status for region in mine] == [region.status for region in its]


def test_blocks_are_found_by_name_where_the_judge_sees_block_entities() -> None:
    save = "bluenbt/1.20.1"
    blocks = {row[2] for row in judged(save).rows}
    some = frozenset(sorted(blocks)[:3])
    scan = scan_save(locate_save(WORLDS / save), Wanted({}, some))
    table = scan.candidates
    found = {
        (tuple(xyz), table.states[s].name)
        for xyz, s in zip(table.xyz.tolist(), table.state, strict=True)
    }
    assert found >= {(row[0], row[2]) for row in judged(save).rows if row[2] in some}
    assert len(found) == len(table)


FEW_SAVES = ["prismarine-provider-anvil/1.13.2", "bluenbt/1.20.1"]


@pytest.mark.parametrize("save", FEW_SAVES)
def test_blocks_without_their_entity_and_names_are_what_the_judge_finds(save: str) -> None:
    # Of the names with an entity, and of some that never have one, all cells but those with one.
    held = {row[2] for row in judged(save).rows}
    names = frozenset({*held, "minecraft:torch", "minecraft:coal_ore", "minecraft:iron_ore"})
    places: list[tuple[tuple[int, int, int], str]] = []
    strangers: Counter[str] = Counter()
    for folder in sorted((WORLDS / save).rglob("region")):
        for data in chunks(folder):
            root = parse(data)
            content = root.get("Level", root)
            status = content["Status"].removeprefix("minecraft:")
            if status not in ("full", "fullchunk", "postprocessed"):
                continue
            sections = content.get("Sections", content.get("sections"))
            with_entity = {
                (entity["x"], entity["y"], entity["z"])
                for entity in content.get("TileEntities", content.get("block_entities", []))
            }
            for section in sections:
                palette = section.get("block_states", section).get(
                    "palette", section.get("Palette", [])
                )
                found = {entry["Name"] for entry in palette}
                strangers.update(found - names)
                if not found & names:
                    continue
                for cell, index in enumerate(indices(section, root["DataVersion"])):
                    at = (
                        16 * content["xPos"] + cell % 16,
                        16 * section["Y"] + cell // 256,
                        16 * content["zPos"] + cell // 16 % 16,
                    )
                    if palette[index]["Name"] in names and at not in with_entity:
                        places.append((at, palette[index]["Name"]))
    wanted = Wanted(
        {},
        every_byte=True,
        entity_blocks=names,
        namespaces=frozenset({"minecraft"}),
        known_blocks=names,
    )
    scan = scan_save(locate_save(WORLDS / save), wanted)
    states = scan.candidates.states
    assert [
        (tuple(xyz), states[state].name)
        for xyz, state in zip(scan.bare.xyz.tolist(), scan.bare.state.tolist(), strict=True)
    ] == sorted(places)
    assert len(places) > 100
    assert dict(scan.strangers) == strangers


@pytest.mark.parametrize("save", FEW_SAVES)
def test_real_block_entities_are_the_same_in_a_template(tmp_path: Path, save: str) -> None:
    placements = []
    for folder in sorted((WORLDS / save).rglob("region")):
        for data in chunks(folder):
            root = nbtlib.File.parse(io.BytesIO(data))
            content = root.get("Level", root)
            listed = content.get("TileEntities", content.get("block_entities", ()))
            states = {row[0]: row[2:] for row in judged(save).rows}
            for entity in listed:
                at = Block(int(entity["x"]), int(entity["y"]), int(entity["z"]))
                if at in states:
                    placements.append(Placement(at, BlockState(*states[at]), entity))
    write_template(tmp_path / "all.nbt", placements, corner=Block(0, 0, 0), data_version=3465)
    template = take_inventory(locate_save(tmp_path / "all.nbt"))
    whole = inventory(save)
    assert [row.at for row in template.rows] == [row.at for row in whole.rows]
    assert [row.id for row in template.rows] == [row.id for row in whole.rows]
    assert template.states == whole.states
    assert template.fields == whole.fields
    # The judge reads the file as anybody would, and finds the same.
    root = parse(gzip.decompress((tmp_path / "all.nbt").read_bytes()))
    rows = sorted(
        (
            tuple(block["pos"]),
            block["nbt"]["id"],
            root["palette"][block["state"]]["Name"],
            tuple(sorted(root["palette"][block["state"]].get("Properties", {}).items())),
        )
        for block in root["blocks"]
    )
    assert rows == judged(save).rows


def test_processes_make_no_difference_to_a_save_of_several_regions() -> None:
    files = locate_save(WORLDS / "rustmc-server/26.1.2")
    wanted = Wanted({"minecraft:chest": ()})
    with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as pool:
        together = scan_save(files, wanted, executor=pool)
    alone = scan_save(files, wanted)
    assert together.coverage.regions == alone.coverage.regions
    assert together.leftovers == alone.leftovers
    assert together.facts == alone.facts


def test_the_layout_of_26_1_is_recognised() -> None:
    files = locate_save(WORLDS / "rustmc-server/26.1.2")
    assert files.dimensions == ("minecraft:overworld",)
    assert len(files.regions) == 4
    assert files.faults == ()


# What is wrong with each chunk by (x, z), as the repository's own tests describe it (twoolie/NBT,
# tests/regiontests.py), in this project's words. Compression 0 was once used for plain data; the
# game never knew it. Two chunks that are "readable" there hold copies of other chunks.
DAMAGED = {
    (2, 0): "unknown-compression",  # "uncompressed (encoding 0)"
    (3, 0): "bad-zlib-stream",  # "garbled data (can't be decoded)"
    (11, 0): "bad-nbt",  # "unknown encoding (3)", which came to mean plain data later
    (13, 0): "no-sectors",  # "0-sector length in header"
    (14, 0): "in-header",  # "in header"
    (15, 0): "beyond-end",  # "out of file"
    (16, 0): "wrong-place",  # "readable"; says that it is chunk (5, 1)
    (3, 1): "bad-length",  # "2 sectors required, but 1 sector allocated"
    (4, 1): "bad-length",  # "zero-byte length value in chunk"
    (5, 1): "bad-nbt",  # "not a valid NBT file"
    (7, 1): "wrong-place",  # "no timestamp"; says that it is chunk (3, 1)
    (8, 1): "cut-short",  # "one-byte length value in chunk (no data)"
}


def test_a_region_with_damaged_slots_gives_a_fault_for_each() -> None:
    scan = scan_save(locate_save(WORLDS / "twoolie-nbt/damaged"), Wanted({}, every_byte=True))
    faults = {(f.chunk.cx, f.chunk.cz - 32): f.reason for f in scan.coverage.faults if f.chunk}
    assert faults == DAMAGED
    # The nine others that are readable there are from before 1.13.
    assert scan.coverage.counts()[SlotStatus.OLD] == 9
