"""What the writer writes, read back by plain means, with amulet-nbt as the judge of its NBT."""

from __future__ import annotations

import gzip
import struct
import zlib
from pathlib import Path

import lz4.block
import pytest

from analyzer.base.place import Chunk, slot_of
from analyzer.demo.chunk import chunk_nbt
from analyzer.demo.compress import lz4_stream, xxhash32
from analyzer.demo.content import Content, Placement, place
from analyzer.demo.manner import Compression, Manner
from analyzer.demo.region import region_bytes, slot_bytes
from analyzer.demo.write import write_regions, write_save

amulet_nbt = pytest.importorskip("amulet_nbt", reason="judges the NBT that is written")

#: One data version for each layout, with the folder of the overworld's regions.
LAYOUTS = {
    1631: "region",
    2230: "region",
    2586: "region",
    2840: "region",
    2975: "region",
    3955: "region",
    4790: "dimensions/minecraft/overworld/region",
}


def blocks(count: int) -> tuple[Placement, ...]:
    """Return blocks of `count` states, spread over two chunks and two sections."""
    return tuple(
        place(
            (5 * number % 32, 10 + number % 11, -1 - number % 16),
            f"quayworks:shaft_{number}[axis={'xyz'[number % 3]}]",
            {"id": "quayworks:shaft", "Load": number},
        )
        for number in range(count)
    )


def inflate(payload: bytes, compression: int) -> bytes:
    if compression == 1:
        return gzip.decompress(payload)
    if compression == 2:
        return zlib.decompress(payload)
    if compression == 3:
        return payload
    out = b""
    while payload:
        assert payload[:8] == b"LZ4Block"
        token, packed, plain, _ = struct.unpack_from("<BIII", payload, 8)
        body, payload = payload[21 : 21 + packed], payload[21 + packed :]
        out += lz4.block.decompress(body, uncompressed_size=plain) if token == 0x26 else body
    return out


def read_chunk(folder: Path, chunk: Chunk):
    data = (folder / f"r.{chunk.cx >> 5}.{chunk.cz >> 5}.mca").read_bytes()
    assert len(data) % 4096 == 0
    (location,) = struct.unpack_from(">I", data, 4 * slot_of(chunk))
    if not location:
        return None
    start = (location >> 8) * 4096
    length, compression = struct.unpack_from(">IB", data, start)
    payload = data[start + 5 : start + 4 + length]
    if compression & 128:
        payload = (folder / f"c.{chunk.cx}.{chunk.cz}.mcc").read_bytes()
    return amulet_chunk(inflate(payload, compression & 127))


def amulet_chunk(data: bytes):
    return plain(amulet_nbt.load(data).compound)


def plain(tag):
    """Return an NBT tag as plain values."""
    if isinstance(tag, amulet_nbt.CompoundTag):
        return {key: plain(value) for key, value in tag.items()}
    if isinstance(tag, amulet_nbt.ListTag):
        return [plain(value) for value in tag]
    return tag.np_array.tolist() if hasattr(tag, "np_array") else tag.py_data


def unpacked(longs: list[int], bits: int, *, spans: bool) -> list[int]:
    """Unpack 4096 indices one bit at a time."""
    whole = [(long >> bit) & 1 for long in longs for bit in range(64)]
    per_long = 64 // bits
    values = []
    for cell in range(4096):
        start = cell * bits if spans else cell // per_long * 64 + cell % per_long * bits
        values.append(sum(bit << place for place, bit in enumerate(whole[start : start + bits])))
    return values


def blocks_of(root) -> dict[tuple[int, int, int], str]:
    """Return every block but air of a chunk, by position."""
    version = root["DataVersion"]
    level = root if version >= 2844 else root["Level"]
    found = {}
    for section in level["sections" if version >= 2844 else "Sections"]:
        states = section["block_states"] if version >= 2836 else section
        palette = states["palette" if version >= 2836 else "Palette"]
        longs = states.get("data" if version >= 2836 else "BlockStates")
        bits = max(4, (len(palette) - 1).bit_length())
        indices = unpacked(longs, bits, spans=version < 2529) if longs else [0] * 4096
        for cell, index in enumerate(indices):
            entry = palette[index]
            if entry["Name"] != "minecraft:air":
                at = (
                    16 * level["xPos"] + cell % 16,
                    16 * section["Y"] + cell // 256,
                    16 * level["zPos"] + cell // 16 % 16,
                )
                values = ",".join(f"{k}={v}" for k, v in entry.get("Properties", {}).items())
                found[at] = f"{entry['Name']}[{values}]" if values else entry["Name"]
    return found


def entities_of(root) -> list:
    level = root if root["DataVersion"] >= 2844 else root["Level"]
    return level["block_entities" if root["DataVersion"] >= 2844 else "TileEntities"]


@pytest.mark.parametrize("version", LAYOUTS)
@pytest.mark.parametrize("count", [1, 40])
def test_every_layout_holds_the_blocks_that_were_put_in(tmp_path, version, count):
    write_save(tmp_path, {"minecraft:overworld": Content(blocks(count))}, manner=Manner(version))
    roots = [read_chunk(tmp_path / LAYOUTS[version], Chunk(cx, -1)) for cx in (0, 1)]
    found = {at: state for root in roots for at, state in blocks_of(root).items()}
    assert found == {tuple(each.at): str(each.state) for each in blocks(count)}


@pytest.mark.parametrize("version", LAYOUTS)
def test_every_layout_lists_block_entities_with_their_data_and_places(tmp_path, version):
    write_save(tmp_path, {"minecraft:overworld": Content(blocks(40))}, manner=Manner(version))
    roots = [read_chunk(tmp_path / LAYOUTS[version], Chunk(cx, -1)) for cx in (0, 1)]
    found = {(e["x"], e["y"], e["z"]): (e["id"], e["Load"]) for r in roots for e in entities_of(r)}
    assert found == {
        tuple(each.at): (each.entity["id"], each.entity["Load"]) for each in blocks(40)
    }


@pytest.mark.parametrize("compression", Compression)
@pytest.mark.parametrize("external", [False, True])
def test_every_compression_gives_the_same_chunk(tmp_path, compression, external):
    manner = Manner(compression=compression, external=external)
    write_regions(tmp_path, Content(blocks(40)), manner=manner)
    assert len(blocks_of(read_chunk(tmp_path, Chunk(0, -1)))) > 10
    assert (tmp_path / "c.0.-1.mcc").exists() == external


def test_a_chunk_too_large_for_its_region_file_gets_a_file_of_its_own(tmp_path):
    note = place((0, 64, 0), "minecraft:lectern", {"id": "x:y", "Page": ["log" * 20_000] * 20})
    manner = Manner(compression=Compression.NONE, ring_chunks=0)
    write_regions(tmp_path, Content((note,)), manner=manner)
    assert (tmp_path / "c.0.0.mcc").stat().st_size > 255 * 4096
    assert blocks_of(read_chunk(tmp_path, Chunk(0, 0))) == {(0, 64, 0): "minecraft:lectern"}


def test_the_eight_chunks_round_a_chunk_with_blocks_are_finished_air(tmp_path):
    write_regions(tmp_path, Content((place((0, 64, 0), "x:y"),)))
    for cx, cz in [(-1, -1), (0, -1), (1, -1), (-1, 0), (1, 0), (-1, 1), (0, 1), (1, 1)]:
        root = read_chunk(tmp_path, Chunk(cx, cz))
        assert (root["xPos"], root["zPos"], root["Status"]) == (cx, cz, "minecraft:full")
        assert blocks_of(root) == {}
    assert read_chunk(tmp_path, Chunk(2, 0)) is None


def test_chunks_can_be_left_unfinished_broken_or_out(tmp_path):
    content = Content(
        (place((0, 64, 0), "x:y"), place((16, 64, 0), "x:y")),
        unfinished=frozenset({Chunk(0, 0)}),
        broken={Chunk(0, 1): b"driftwood"},
        absent=frozenset({Chunk(1, 0)}),
    )
    write_regions(tmp_path, content)
    assert read_chunk(tmp_path, Chunk(0, 0))["Status"] == "minecraft:features"
    assert b"driftwood" in (tmp_path / "r.0.0.mca").read_bytes()
    assert read_chunk(tmp_path, Chunk(1, 0)) is None


def test_a_second_placement_at_one_place_is_a_second_entry_and_the_block_that_stands(tmp_path):
    twice = (place((0, 64, 0), "x:old", {"id": "x:a"}), place((0, 64, 0), "x:new", {"id": "x:b"}))
    root = amulet_chunk(chunk_nbt(Chunk(0, 0), twice, Manner()))
    assert blocks_of(root) == {(0, 64, 0): "x:new"}
    assert [entity["id"] for entity in entities_of(root)] == ["x:a", "x:b"]


def test_a_section_full_of_one_block_has_a_palette_of_one_and_no_indices():
    full = [place((x, y, z), "x:y") for x in range(16) for y in range(16) for z in range(16)]
    (section,) = amulet_chunk(chunk_nbt(Chunk(0, 0), full, Manner()))["sections"]
    assert section == {"Y": 0, "block_states": {"palette": [{"Name": "x:y"}]}}


def test_a_block_above_the_world_is_refused():
    with pytest.raises(ValueError, match="section 16 is outside"):
        chunk_nbt(Chunk(0, 0), [place((0, 256, 0), "x:y")], Manner(2586))


def test_data_versions_before_palettes_are_refused():
    with pytest.raises(ValueError, match="before 1451"):
        Manner(1343)


def test_a_slot_with_nothing_in_it_is_refused():
    with pytest.raises(ValueError, match="slot 3 cannot hold 0 bytes"):
        region_bytes({3: b""})


def test_equal_input_gives_equal_bytes(tmp_path):
    for name in ("first", "second"):
        write_save(tmp_path / name, {"minecraft:overworld": Content(blocks(40))})
    files = [
        {
            path.relative_to(tmp_path / name): path.read_bytes()
            for path in sorted((tmp_path / name).rglob("*.*"))
        }
        for name in ("first", "second")
    ]
    assert files[0] == files[1]
    assert len(files[0]) > 2


def test_level_dat_names_the_world_and_its_dimensions(tmp_path):
    write_save(tmp_path, {"quayworks:undercroft": Content()}, title="Low tide")
    root = amulet_chunk(gzip.decompress((tmp_path / "level.dat").read_bytes()))
    assert root["Data"]["LevelName"] == "Low tide"
    assert list(root["Data"]["WorldGenSettings"]["dimensions"]) == ["quayworks:undercroft"]
    assert (tmp_path / "dimensions/quayworks/undercroft/region").is_dir()


def test_an_lz4_stream_keeps_what_does_not_shrink_as_it_is():
    noise = bytes((n * n * 167 + n * 13) % 251 for n in range(70_000))
    incompressible = bytes(noise[:9])
    assert inflate(lz4_stream(noise), 4) == noise
    assert incompressible in lz4_stream(incompressible)


def test_the_checksum_of_lz4_blocks_is_xxhash32():
    """Values from memory of the examples that the python-xxhash project prints."""
    assert xxhash32(b"Nobody inspects the spammish repetition", 0) == 0xE2293B2F
    assert xxhash32(b"a", 0) == 0x550D7456


def test_a_slot_says_how_long_and_how_compressed_its_chunk_is():
    assert slot_bytes(b"tar", Compression.NONE) == b"\0\0\0\x04\x03tar"
