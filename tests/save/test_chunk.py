"""How one chunk ends, by its version and its layout."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from tests.save.chunks import (
    LEVEL_VERSION,
    ROOT_VERSION,
    broken_after,
    chunk_tree,
    entity,
    palette_entry,
    region,
    region_file,
    section,
    stored,
)
from tests.save.nbt_bytes import (
    Tag,
    byte,
    byte_array,
    compound,
    compound_of,
    double,
    integer,
    list_of,
    long,
    long_array,
    named,
    short,
    text,
    tree,
)

WANTED = Wanted({"quayworks:shaft": ()})
EVERY_BYTE = Wanted({"quayworks:shaft": ()}, every_byte=True)


def scan(folder: Path, chunk: bytes, wanted: Wanted = EVERY_BYTE) -> ScanRecord:
    return scan_region(region_file(folder, region({0: stored(chunk)})), wanted, Limits())


def status(folder: Path, chunk: bytes, wanted: Wanted = EVERY_BYTE) -> SlotStatus:
    return SlotStatus(scan(folder, chunk, wanted).looked.status[0])


def reason(folder: Path, chunk: bytes, wanted: Wanted = EVERY_BYTE) -> str:
    record = scan(folder, chunk, wanted)
    assert record.looked.status[0] == SlotStatus.UNREADABLE
    assert not len(record.cells)
    (fault,) = record.looked.faults
    return fault.reason


FINISHED = [
    (1519, "fullchunk"),
    (1631, "postprocessed"),
    (1631, "full"),
    (1952, "full"),
    (2586, "full"),
    (2730, "full"),
    (2975, "full"),
    (3337, "minecraft:full"),
    (4790, "minecraft:full"),
    (9999, "minecraft:full"),
]
UNFINISHED = [
    (1519, "carved"),
    (1631, "decorated"),
    (1976, "fullchunk"),
    (2586, "features"),
    (2586, None),
    (2975, "light"),
    (2975, "fullchunk"),
    (3465, "minecraft:initialize_light"),
    (4790, "minecraft:empty"),
    (4790, ""),
]


@pytest.mark.parametrize(("version", "name"), FINISHED)
def test_a_finished_chunk_is_read(tmp_path: Path, version: int, name: str) -> None:
    chunk = chunk_tree(0, 0, version=version, status=name)
    assert status(tmp_path, chunk) == SlotStatus.READ


@pytest.mark.parametrize(("version", "name"), UNFINISHED)
def test_a_chunk_that_was_not_generated_to_its_end_is_unfinished(
    tmp_path: Path, version: int, name: str | None
) -> None:
    chunk = chunk_tree(0, 0, version=version, status=name)
    assert status(tmp_path, chunk) == SlotStatus.UNFINISHED


@pytest.mark.parametrize("version", [2844, ROOT_VERSION, 4790, 9999])
def test_a_chunk_of_1_18_and_later_must_have_a_status(tmp_path: Path, version: int) -> None:
    assert reason(tmp_path, chunk_tree(0, 0, version=version, status=None)) == "status-missing"


@pytest.mark.parametrize("version", [None, 0, 169, 922, 1343, 1450])
@pytest.mark.parametrize("wanted", [WANTED, EVERY_BYTE])
def test_a_chunk_from_before_1_13_is_old(
    tmp_path: Path, version: int | None, wanted: Wanted
) -> None:
    numeric = compound(Y=byte(0), Blocks=byte_array([1] * 4096), Data=byte_array([0] * 2048))
    shaft = entity("quayworks:shaft", 1, 2, 3)
    chunk = chunk_tree(0, 0, version=version, status=None, sections=[numeric], entities=[shaft])
    record = scan(tmp_path, chunk, wanted)
    assert record.looked.status[0] == SlotStatus.OLD
    assert not len(record.cells)
    assert record.leftovers.unknown == ()


def test_a_chunk_without_sections_or_version_is_old(tmp_path: Path) -> None:
    assert status(tmp_path, chunk_tree(0, 0, version=None, status=None)) == SlotStatus.OLD


def test_palettes_without_a_version_are_not_guessed_at(tmp_path: Path) -> None:
    modern = section(0, ["a", "b"], {}, version=LEVEL_VERSION)
    chunk = chunk_tree(0, 0, version=None, status="full", sections=[modern])
    assert reason(tmp_path, chunk) == "version-missing"


VERSIONS = [1519, 1631, 1976, 2526, 2529, 2586, 2730, 2840, 2844, 2975, 3465, 3955, 4790]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("count", [1, 2, 16, 17, 40, 300])
def test_the_block_at_an_entity_is_found_in_every_layout(
    tmp_path: Path, version: int, count: int
) -> None:
    palette = [f"quayworks:shaft_{number}[axis=x]" for number in range(count)]
    places = [(0, 0, 0), (15, 15, 15), (3, 5, 7), (12, 1, 0)]
    cells = {256 * y + 16 * z + x: (number * 97) % count for number, (x, y, z) in enumerate(places)}
    chunk = chunk_tree(
        0,
        0,
        version=version,
        status="postprocessed" if version < 1912 else "minecraft:full",
        sections=[section(2, palette, cells, version=version)],
        entities=[entity("quayworks:shaft", x, 32 + y, z) for x, y, z in places],
    )
    record = scan(tmp_path, chunk)
    found = {
        (x, y - 32, z): record.states[state].name for x, y, z, state, *_ in record.cells.tolist()
    }
    assert found == {
        (x, y, z): f"quayworks:shaft_{(number * 97) % count}"
        for number, (x, y, z) in enumerate(places)
    }


@pytest.mark.parametrize("version", VERSIONS)
def test_blocks_without_entities_are_found_by_name_in_every_layout(
    tmp_path: Path, version: int
) -> None:
    palette = [f"quayworks:plank_{number}" for number in range(20)]
    cells = {0: 7, 4095: 7, 1234: 11, 77: 3}
    chunk = chunk_tree(
        0,
        0,
        version=version,
        status="postprocessed" if version < 1912 else "minecraft:full",
        sections=[section(1, palette, cells, version=version)],
    )
    wanted = Wanted({}, frozenset({"quayworks:plank_7", "quayworks:plank_11"}))
    record = scan(tmp_path, chunk, wanted)
    found = sorted(
        (x + 16 * z + 256 * (y - 16), record.states[state].name, entity_number)
        for x, y, z, state, entity_number, _ in record.cells.tolist()
    )
    assert found == [
        (0, "quayworks:plank_7", -1),
        (1234, "quayworks:plank_11", -1),
        (4095, "quayworks:plank_7", -1),
    ]


def test_a_solid_section_without_indices_is_not_air(tmp_path: Path) -> None:
    chunk = chunk_tree(
        0,
        0,
        sections=[section(-4, ["quayworks:ballast"], {})],
        entities=[entity("quayworks:shaft", 9, -60, 9)],
    )
    record = scan(tmp_path, chunk)
    assert [state.name for state in record.states] == ["quayworks:ballast"]
    whole = scan(tmp_path, chunk, Wanted({}, frozenset({"quayworks:ballast"})))
    assert len(whole.cells) == 4096


def test_a_section_that_is_missing_or_has_only_light_is_air(tmp_path: Path) -> None:
    light = compound(Y=byte(1), SkyLight=byte_array([0] * 2048))
    chunk = chunk_tree(
        0,
        0,
        sections=[light],
        entities=[entity("quayworks:shaft", 1, 20, 1), entity("quayworks:shaft", 1, 200, 1)],
    )
    record = scan(tmp_path, chunk)
    assert [str(state) for state in record.states] == ["minecraft:air"]
    assert len(record.cells) == 2


@pytest.mark.parametrize("height", [byte(3), short(3), integer(3), Tag(4, bytes(7) + b"\x03")])
def test_a_section_may_give_its_height_in_any_integer(tmp_path: Path, height: Tag) -> None:
    content = compound(palette=list_of(palette_entry("quayworks:ballast")))
    chunk = chunk_tree(
        0,
        0,
        sections=[compound(block_states=content, Y=height)],
        entities=[entity("quayworks:shaft", 1, 50, 1)],
    )
    assert [state.name for state in scan(tmp_path, chunk).states] == ["quayworks:ballast"]


def test_indices_tighter_than_the_games_are_read_before_1_16(tmp_path: Path) -> None:
    # Found in the wild: sections packed with one bit an index.
    words = long_array([0] * 32 + [1] + [0] * 31)
    entries = list_of(palette_entry("quayworks:hull"), palette_entry("quayworks:keel"))
    chunk = chunk_tree(
        0,
        0,
        version=2504,
        status="full",
        sections=[compound(Y=byte(0), Palette=entries, BlockStates=words)],
        entities=[entity("quayworks:shaft", 0, 8, 0), entity("quayworks:shaft", 1, 8, 0)],
    )
    record = scan(tmp_path, chunk)
    states = [record.states[row[3]].name for row in record.cells.tolist()]
    assert states == ["quayworks:keel", "quayworks:hull"]


def broken_section(**content: Tag) -> Tag:
    return compound(Y=byte(0), block_states=compound(**content))


TWO = list_of(palette_entry("quayworks:hull"), palette_entry("quayworks:keel"))
BROKEN = {
    "no palette": (broken_section(data=long_array([0] * 256)), "bad-palette"),
    "empty palette": (broken_section(palette=list_of()), "bad-palette"),
    "palette of numbers": (broken_section(palette=list_of(integer(1))), "bad-palette"),
    "nameless entry": (broken_section(palette=list_of(compound())), "bad-palette"),
    "property that is no text": (
        broken_section(palette=list_of(compound(Name=text("a"), Properties=compound(b=byte(1))))),
        "bad-palette",
    ),
    "no indices": (broken_section(palette=TWO), "bad-packed-array"),
    "too few words": (broken_section(palette=TWO, data=long_array([0] * 3)), "bad-packed-array"),
    "index beyond the palette": (
        broken_section(palette=TWO, data=long_array([-1] * 256)),
        "bad-packed-array",
    ),
    "numbers in place of names": (
        compound(Y=byte(0), Blocks=byte_array([0] * 4096)),
        "bad-palette",
    ),
    "no height": (compound(block_states=compound(palette=TWO)), "bad-section"),
    "no compound": (integer(3), "bad-section"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_section_is_seen_where_it_is_asked_about_or_every_byte_is_read(
    tmp_path: Path, case: str
) -> None:
    broken, expected = BROKEN[case]
    shaft = entity("quayworks:shaft", 1, 1, 1)
    with_shaft = chunk_tree(0, 0, sections=[broken], entities=[shaft])
    without = chunk_tree(0, 0, sections=[broken], entities=None)
    assert reason(tmp_path, with_shaft, WANTED) == expected
    assert status(tmp_path, without, WANTED) == SlotStatus.READ
    assert reason(tmp_path, without, EVERY_BYTE) == expected


def test_an_index_beyond_the_palette_elsewhere_in_a_section_does_not_matter(
    tmp_path: Path,
) -> None:
    words = long_array([0] * 255 + [-1])
    shaft = entity("quayworks:shaft", 1, 1, 1)
    chunk = chunk_tree(0, 0, sections=[broken_section(palette=TWO, data=words)], entities=[shaft])
    assert status(tmp_path, chunk, WANTED) == SlotStatus.READ
    by_name = Wanted({}, frozenset({"quayworks:keel"}))
    assert reason(tmp_path, chunk, by_name) == "bad-packed-array"


@pytest.mark.parametrize("version", [ROOT_VERSION, LEVEL_VERSION])
@pytest.mark.parametrize("last", [False, True])
def test_a_chunk_without_a_wanted_entity_is_sifted(
    tmp_path: Path, version: int, last: bool
) -> None:
    chunk = chunk_tree(
        0,
        0,
        version=version,
        status="full",
        entities=[entity("quayworks:bollard", 1, 1, 1)],
        sections=[section(0, [f"quayworks:plank_{n}" for n in range(90)], {5: 5}, version=version)],
    )
    record = scan(tmp_path, chunk, WANTED)
    assert record.looked.status[0] == SlotStatus.SIFTED
    assert record.leftovers.unknown == (("quayworks:bollard", 1),)
    assert scan(tmp_path, chunk).leftovers == record.leftovers


def test_a_wanted_entity_or_block_means_reading_whole(tmp_path: Path) -> None:
    with_shaft = chunk_tree(0, 0, entities=[entity("quayworks:shaft", 1, 1, 1)])
    assert status(tmp_path, with_shaft, WANTED) == SlotStatus.READ
    assert status(tmp_path, chunk_tree(0, 0), WANTED) == SlotStatus.SIFTED
    by_name = Wanted({}, frozenset({"quayworks:keel", "quayworks:kelson"}))
    for block, expected in (
        ("quayworks:keel", SlotStatus.READ),
        # Begins as both names do; a chunk is read rather once too often.
        ("quayworks:kerb", SlotStatus.READ),
        ("quayworks:plank", SlotStatus.SIFTED),
    ):
        sections = [section(0, ["minecraft:stone", block], {5: 1})]
        assert status(tmp_path, chunk_tree(0, 0, sections=sections), by_name) == expected


def test_a_chunk_that_may_lack_its_end_is_walked_for_the_sake_of_blocks(tmp_path: Path) -> None:
    whole = chunk_tree(0, 0, sections=[section(0, ["minecraft:stone"], {})])
    by_name = Wanted({}, frozenset({"quayworks:keel"}))
    short = zlib.compress(whole)[:-30]
    chunk = struct.pack(">iB", len(short) + 1, 2) + short
    record = scan_region(region_file(tmp_path, region({0: chunk})), by_name, Limits())
    assert [fault.reason for fault in record.looked.faults] == ["cut-short"]
    # Where only block entities are wanted, nothing behind their list matters.
    assert status(tmp_path, whole, WANTED) == SlotStatus.SIFTED
    # Other compressions do not tell.
    plain = region_file(tmp_path, region({0: stored(whole, 3)}))
    assert scan_region(plain, by_name, Limits()).looked.status[0] == SlotStatus.READ


def test_a_name_that_can_be_stored_in_several_ways_is_looked_for_in_every_palette(
    tmp_path: Path,
) -> None:
    by_name = Wanted({}, frozenset({"quayworks:🐟"}))
    assert status(tmp_path, chunk_tree(0, 0), by_name) == SlotStatus.READ


def test_a_chunk_without_a_list_of_block_entities_is_read_whole(tmp_path: Path) -> None:
    assert status(tmp_path, chunk_tree(0, 0, entities=None), WANTED) == SlotStatus.READ


def test_a_list_name_inside_a_string_is_not_mistaken_for_the_list(tmp_path: Path) -> None:
    bait = {"note": text("\x09\x00\x0eblock_entities\x0a\x00\x00\x00\x00")}
    chunk = chunk_tree(0, 0, entities=[entity("quayworks:shaft", 1, 1, 1)], last=True, more=bait)
    assert status(tmp_path, chunk, WANTED) == SlotStatus.READ


def test_what_lies_behind_the_list_of_a_sifted_chunk_is_not_seen(tmp_path: Path) -> None:
    ballast = byte_array([(n * n * 31 + n // 7) % 251 - 125 for n in range(20_000)])
    payload = broken_after(chunk_tree(0, 0, more={"ballast": ballast})[:-5000])
    file = region_file(tmp_path, region({0: struct.pack(">iB", len(payload) + 1, 2) + payload}))
    assert scan_region(file, WANTED, Limits()).looked.status[0] == SlotStatus.SIFTED
    (fault,) = scan_region(file, EVERY_BYTE, Limits()).looked.faults
    assert fault.reason == "bad-zlib-stream"


def test_unknown_ids_are_counted_in_unfinished_chunks_however_they_are_read(
    tmp_path: Path,
) -> None:
    entities = [entity("DUMMY", 1, 1, 1), entity("minecraft:chest", 2, 1, 1)]
    chunk = chunk_tree(0, 0, status="minecraft:carvers", entities=entities)
    sifted, whole = scan(tmp_path, chunk, WANTED), scan(tmp_path, chunk)
    assert whole.looked.status[0] == SlotStatus.UNFINISHED
    assert sifted.leftovers == whole.leftovers
    assert sifted.leftovers.unknown == (("DUMMY", 1), ("minecraft:chest", 1))


def test_a_status_that_was_met_before_the_list_is_believed(tmp_path: Path) -> None:
    chunk = chunk_tree(0, 0, status="minecraft:carvers", last=True)
    assert status(tmp_path, chunk, WANTED) == SlotStatus.UNFINISHED


def test_a_place_that_was_met_before_the_list_is_checked(tmp_path: Path) -> None:
    assert reason(tmp_path, chunk_tree(4, 4, last=True), WANTED) == "wrong-place"


def test_wanted_entities_of_unfinished_chunks_are_left_over(tmp_path: Path) -> None:
    shafts = [entity("quayworks:shaft", 1, 1, 1), entity("quayworks:shaft", 2, 1, 1)]
    record = scan(tmp_path, chunk_tree(0, 0, status="minecraft:light", entities=shafts))
    assert not len(record.cells)
    assert record.leftovers.unfinished == 2


def test_the_last_of_several_entries_at_a_place_counts(tmp_path: Path) -> None:
    entities = [
        entity("quayworks:shaft", 1, 1, 1, Speed=integer(1)),
        entity("quayworks:shaft", 2, 1, 1, Speed=integer(2)),
        entity("quayworks:shaft", 1, 1, 1, Speed=integer(3)),
        entity("quayworks:bollard", 2, 1, 1),
    ]
    wanted = Wanted({"quayworks:shaft": (("Speed",),)})
    record = scan(tmp_path, chunk_tree(0, 0, entities=entities), wanted)
    assert record.cells[:, :3].tolist() == [[1, 1, 1]]
    assert record.integers.tolist() == [3]
    assert record.leftovers.duplicate == 2
    assert record.leftovers.unknown == (("quayworks:bollard", 1),)


def test_entries_outside_their_chunk_or_without_a_place_are_left_over(tmp_path: Path) -> None:
    shaft = text("quayworks:shaft")
    entities = [
        entity("quayworks:shaft", 16, 1, 1),
        entity("quayworks:shaft", 1, 1, -1),
        compound(id=shaft, x=integer(1), y=integer(1)),
        compound(id=shaft, x=double(1), y=integer(1), z=integer(1)),
        compound(x=integer(1), y=integer(1), z=integer(1)),
        compound(id=integer(5), x=integer(1), y=integer(1), z=integer(1)),
        compound(id=shaft, x=integer(1), y=Tag(4, b"\x7f" + bytes(7)), z=integer(1)),
        entity("quayworks:shaft", 3, -2_000_000_000, 3),
    ]
    record = scan(tmp_path, chunk_tree(0, 0, entities=entities))
    assert record.cells[:, :3].tolist() == [[3, -2_000_000_000, 3]]
    assert (record.leftovers.misplaced, record.leftovers.malformed) == (2, 5)


def test_a_cell_with_a_wanted_block_and_a_wanted_entity_is_one_candidate(tmp_path: Path) -> None:
    chunk = chunk_tree(
        0,
        0,
        sections=[section(0, ["minecraft:air", "quayworks:shaft"], {0: 1, 1: 1})],
        entities=[entity("quayworks:shaft", 0, 0, 0)],
    )
    wanted = Wanted({"quayworks:shaft": ()}, frozenset({"quayworks:shaft"}))
    record = scan(tmp_path, chunk, wanted)
    assert record.cells[:, :5].tolist() == [[0, 0, 0, 0, 0], [1, 0, 0, 0, -1]]


def test_an_unreadable_chunk_leaves_nothing_behind(tmp_path: Path) -> None:
    broken, _ = BROKEN["index beyond the palette"]
    entities = [
        entity("quayworks:bollard", 4, 4, 4),
        entity("quayworks:shaft", 4, 40, 4),
        entity("quayworks:shaft", 4, 4, 4),
    ]
    record = scan(tmp_path, chunk_tree(0, 0, sections=[broken], entities=entities))
    assert not len(record.cells)
    assert record.states == ()
    assert record.leftovers.unknown == ()


def test_the_data_version_is_noted_where_it_was_met(tmp_path: Path) -> None:
    assert scan(tmp_path, chunk_tree(0, 0)).looked.data_versions == (ROOT_VERSION,)
    assert scan(tmp_path, chunk_tree(0, 0), WANTED).looked.data_versions == ()


@pytest.mark.parametrize("version", VERSIONS)
def test_each_candidate_has_its_chunks_data_version(tmp_path: Path, version: int) -> None:
    shaft = entity("quayworks:shaft", 1, 2, 3)
    name = "postprocessed" if version < 1912 else "minecraft:full"
    record = scan(tmp_path, chunk_tree(0, 0, version=version, status=name, entities=[shaft]))
    assert record.cells[:, 5].tolist() == [version]


@pytest.mark.parametrize(
    ("stored_version", "version"),
    [(None, 2844), (long(2**40), 2**31 - 1), (long(-(2**40)), -(2**31))],
)
def test_a_version_that_is_missing_or_false_does_not_lose_the_candidate(
    tmp_path: Path, stored_version: Tag | None, version: int
) -> None:
    values = {
        "xPos": integer(0),
        "zPos": integer(0),
        "Status": text("full"),
        "block_entities": list_of(entity("quayworks:shaft", 1, 2, 3)),
    }
    if stored_version is not None:
        values["DataVersion"] = stored_version
    record = scan(tmp_path, tree(compound_of(values)))
    assert record.cells[:, 5].tolist() == [version]


def test_a_tree_that_is_no_chunk_is_unreadable(tmp_path: Path) -> None:
    entities_file = tree(compound(DataVersion=integer(3955), Entities=list_of()))
    assert reason(tmp_path, entities_file) == "place-missing"


@pytest.mark.parametrize("wanted", [WANTED, EVERY_BYTE], ids=["sifted", "every-byte"])
def test_of_a_name_that_comes_twice_the_last_counts_even_if_the_first_makes_no_sense(
    tmp_path: Path, wanted: Wanted
) -> None:
    shaft = entity("quayworks:shaft", 0, 64, 0)
    whole = chunk_tree(0, 0, entities=[shaft])
    numbers = named("block_entities", list_of(integer(1), integer(2)))
    record = scan(tmp_path, whole[:3] + numbers + whole[3:], wanted)
    assert (record.looked.status[0], record.looked.faults) == (SlotStatus.READ, ())
    assert len(record.cells) == 1
