"""Blocks that lack their block entity, and block names that should be known."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.save.scan import gather
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from tests.save.chunks import (
    chunk_tree,
    entity,
    palette_entry,
    region,
    region_file,
    section,
    stored,
)
from tests.save.nbt_bytes import Tag, byte, compound, integer, list_of, long_array, text
from tests.save.test_chunk import VERSIONS

AIR, SHAFT, BITT = "minecraft:air", "quayworks:shaft[axis=x]", "quayworks:bitt"
WANTED = Wanted(
    {"quayworks:shaft": ()},
    entity_blocks=frozenset({"quayworks:shaft"}),
    namespaces=frozenset({"quayworks"}),
    known_blocks=frozenset({"quayworks:shaft", "quayworks:keel"}),
    every_byte=True,
)
SIFTING = Wanted(
    WANTED.entities,
    entity_blocks=WANTED.entity_blocks,
    namespaces=WANTED.namespaces,
    known_blocks=WANTED.known_blocks,
)


def scan(folder: Path, *chunks: bytes, wanted: Wanted = WANTED) -> ScanRecord:
    slots = {number: stored(chunk) for number, chunk in enumerate(chunks)}
    return scan_region(region_file(folder, region(slots)), wanted, Limits())


def bare(record: ScanRecord) -> list[tuple[tuple[int, int, int], str]]:
    return sorted(((x, y, z), str(record.states[state])) for x, y, z, state in record.bare.tolist())


@pytest.mark.parametrize("version", VERSIONS)
def test_blocks_that_lack_their_entity_are_bare_in_every_layout(
    tmp_path: Path, version: int
) -> None:
    # Cell numbers are 256 y + 16 z + x within the section, which begins at y = 32.
    cells = {0: 1, 4095: 1, 3: 2, 0x123: 1}
    chunk = chunk_tree(
        0,
        0,
        version=version,
        status="postprocessed" if version < 1912 else "minecraft:full",
        sections=[section(2, [AIR, SHAFT, "quayworks:keel"], cells, version=version)],
        entities=[entity("quayworks:shaft", 0, 32, 0)],
    )
    record = scan(tmp_path, chunk)
    assert bare(record) == [((3, 33, 2), SHAFT), ((15, 47, 15), SHAFT)]
    assert record.cells[:, :3].tolist() == [[0, 32, 0]]


def test_places_are_absolute_on_both_sides_of_zero(tmp_path: Path) -> None:
    chunk = chunk_tree(-1, -2, sections=[section(-4, [AIR, SHAFT], {0: 1, 17: 1})])
    file = region_file(tmp_path, region({31 + 32 * 30: stored(chunk)}), -1, -1)
    record = scan_region(file, WANTED, Limits())
    assert bare(record) == [((-16, -64, -32), SHAFT), ((-15, -64, -31), SHAFT)]


@pytest.mark.parametrize(
    ("entry", "lacks"),
    [
        (entity("quayworks:shaft", 5, 0, 0), False),
        (entity("quayworks:bollard", 5, 0, 0), False),
        (entity("minecraft:chest", 5, 0, 0), False),
        (compound(x=integer(5), y=integer(0), z=integer(0)), True),
        (compound(id=text("quayworks:shaft"), x=integer(5), y=integer(0)), True),
        (entity("quayworks:shaft", 5 + 16, 0, 0), True),
        (entity("quayworks:shaft", 5, 0, -16), True),
        (entity("quayworks:shaft", 5, 1, 0), True),
        (entity("quayworks:shaft", 5, 4096, 0), True),
    ],
)
def test_any_entity_with_an_id_at_the_place_is_enough(
    tmp_path: Path, entry: Tag, lacks: bool
) -> None:
    chunk = chunk_tree(0, 0, sections=[section(0, [AIR, SHAFT], {5: 1})], entities=[entry])
    assert bare(scan(tmp_path, chunk)) == ([((5, 0, 0), SHAFT)] if lacks else [])


def test_a_solid_section_may_be_all_bare(tmp_path: Path) -> None:
    chunk = chunk_tree(0, 0, sections=[section(0, [SHAFT], {})])
    assert len(scan(tmp_path, chunk).bare) == 4096


def test_an_entry_of_the_palette_that_no_block_uses_is_not_bare(tmp_path: Path) -> None:
    shaft = entity("quayworks:shaft", 0, 0, 0)
    chunk = chunk_tree(0, 0, sections=[section(0, [AIR, SHAFT], {})], entities=[shaft])
    assert bare(scan(tmp_path, chunk)) == []


def test_a_palette_may_list_a_state_twice(tmp_path: Path) -> None:
    chunk = chunk_tree(0, 0, sections=[section(0, [AIR, SHAFT, SHAFT], {1: 1, 2: 2})])
    record = scan(tmp_path, chunk)
    assert bare(record) == [((1, 0, 0), SHAFT), ((2, 0, 0), SHAFT)]
    assert len(record.states) == 1


def test_sifted_chunks_do_not_show_them_and_every_byte_does(tmp_path: Path) -> None:
    sections = [section(0, [AIR, SHAFT, BITT], {5: 1, 6: 2})]
    alone = chunk_tree(0, 0, sections=sections)
    with_part = chunk_tree(1, 0, sections=sections, entities=[entity("quayworks:shaft", 16, 0, 0)])
    sifted = scan(tmp_path, alone, with_part, wanted=SIFTING)
    assert list(sifted.looked.status[:2]) == [SlotStatus.SIFTED, SlotStatus.READ]
    assert bare(sifted) == [((21, 0, 0), SHAFT)]
    assert sifted.strangers == (("quayworks:bitt", 1),)
    whole = scan(tmp_path, alone, with_part)
    assert bare(whole) == [((5, 0, 0), SHAFT), ((21, 0, 0), SHAFT)]
    assert whole.strangers == (("quayworks:bitt", 2),)


def test_unfinished_chunks_do_not_show_them(tmp_path: Path) -> None:
    sections = [section(0, [AIR, SHAFT, BITT], {5: 1, 6: 2})]
    chunk = chunk_tree(0, 0, status="minecraft:features", sections=sections)
    record = scan(tmp_path, chunk)
    assert (bare(record), record.strangers) == ([], ())


def test_a_block_may_be_a_candidate_by_name_while_another_lacks_its_entity(tmp_path: Path) -> None:
    wanted = Wanted(
        {"quayworks:shaft": ()},
        frozenset({"quayworks:keel"}),
        entity_blocks=frozenset({"quayworks:shaft"}),
    )
    cells = {0: 1, 1: 1, 2: 2}
    chunk = chunk_tree(
        0,
        0,
        sections=[section(0, [AIR, SHAFT, "quayworks:keel"], cells)],
        entities=[entity("quayworks:shaft", 0, 0, 0)],
    )
    record = scan(tmp_path, chunk, wanted=wanted)
    assert sorted(row[:3] for row in record.cells.tolist()) == [[0, 0, 0], [2, 0, 0]]
    assert bare(record) == [((1, 0, 0), SHAFT)]


def test_strangers_are_counted_by_section(tmp_path: Path) -> None:
    sections = [
        section(0, [AIR, BITT, "quayworks:bitt[wet=yes]"], {1: 1}),
        section(1, [AIR, "quayworks:cleat", "quayworks:keel"], {}),
        section(2, [BITT], {}),
        section(3, [AIR, "quayworks_stores:bitt", "minecraft:bitt", "bitt"], {}),
    ]
    record = scan(
        tmp_path, chunk_tree(0, 0, sections=sections), chunk_tree(1, 0, sections=sections)
    )
    assert record.strangers == (("quayworks:bitt", 4), ("quayworks:cleat", 2))


def test_the_host_games_namespace_may_be_left_out_of_a_name(tmp_path: Path) -> None:
    wanted = Wanted(
        {}, namespaces=frozenset({"minecraft"}), known_blocks=frozenset({AIR}), every_byte=True
    )
    sections = [section(0, [AIR, "bitt", "minecraft:keel", BITT], {})]
    record = scan(tmp_path, chunk_tree(0, 0, sections=sections), wanted=wanted)
    assert record.strangers == (("bitt", 1), ("minecraft:keel", 1))


def test_a_name_without_a_namespace_can_need_an_entity(tmp_path: Path) -> None:
    wanted = Wanted({}, entity_blocks=frozenset({"bitt"}), every_byte=True)
    chunk = chunk_tree(0, 0, sections=[section(0, [AIR, "bitt"], {1: 1})])
    assert bare(scan(tmp_path, chunk, wanted=wanted)) == [((1, 0, 0), "bitt")]


def test_only_sections_that_name_a_block_are_unpacked(tmp_path: Path) -> None:
    hull = list_of(palette_entry("minecraft:hull"), palette_entry("minecraft:keel"))
    shafts = list_of(palette_entry(AIR), palette_entry(SHAFT))
    beyond = long_array([-1] * 256)
    harmless = compound(Y=byte(0), block_states=compound(palette=hull, data=beyond))
    asked = compound(Y=byte(1), block_states=compound(palette=shafts, data=beyond))
    # A chunk without a list is read whole without being asked to.
    chunk = chunk_tree(0, 0, sections=[harmless], entities=None)
    assert scan(tmp_path, chunk, wanted=SIFTING).looked.faults == ()
    chunk = chunk_tree(0, 0, sections=[harmless, asked], entities=None)
    record = scan(tmp_path, chunk, wanted=SIFTING)
    (fault,) = record.looked.faults
    assert fault.reason == "bad-packed-array"
    assert (len(record.cells), len(record.bare), record.strangers) == (0, 0, ())


def test_nothing_is_looked_for_where_nothing_is_asked(tmp_path: Path) -> None:
    chunk = chunk_tree(0, 0, sections=[section(0, [AIR, SHAFT, BITT], {5: 1})])
    record = scan(tmp_path, chunk, wanted=Wanted({"quayworks:shaft": ()}, every_byte=True))
    assert (len(record.bare), record.strangers) == (0, ())


def test_what_a_hostile_save_makes_a_scan_remember_is_bounded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gather, "_MOST_STRANGERS", 3)
    monkeypatch.setattr(gather, "_MOST_BARE", 5000)
    names = [f"quayworks:b{number}" for number in range(9)]
    sections = [section(0, names, {}), section(1, names[:2], {}), section(2, [SHAFT], {})]
    record = scan(tmp_path, *(chunk_tree(x, 0, sections=sections) for x in range(2)))
    assert record.strangers == (("quayworks:b0", 4), ("quayworks:b1", 4), ("quayworks:b2", 2))
    assert len(record.bare) == 5000


@pytest.mark.parametrize("states", [[AIR, SHAFT], [AIR, SHAFT, *(f"x:{n}" for n in range(20))]])
def test_one_bare_block_among_others_that_are_not_is_found(
    tmp_path: Path, states: list[str]
) -> None:
    held = [entity("quayworks:shaft", x, 0, 0) for x in range(5)]
    cells = dict.fromkeys(range(5), 1)
    whole = chunk_tree(0, 0, entities=held, sections=[section(0, states, cells)])
    assert bare(scan(tmp_path / "whole", whole)) == []
    more = chunk_tree(0, 0, entities=held, sections=[section(0, states, cells | {4095: 1})])
    assert [place for place, _ in bare(scan(tmp_path / "more", more))] == [(15, 15, 15)]
    # As many cells as entities, but not the same ones.
    moved = chunk_tree(0, 0, entities=held, sections=[section(0, states, {**cells, 4: 0, 77: 1})])
    assert [place for place, _ in bare(scan(tmp_path / "moved", moved))] == [(13, 0, 4)]


def test_an_index_beyond_the_palette_is_found_where_nothing_is_bare(tmp_path: Path) -> None:
    held = [entity("quayworks:shaft", 1, 0, 0)]
    broken = section(0, [AIR, SHAFT], {1: 1, 4095: 9})
    record = scan(tmp_path, chunk_tree(0, 0, entities=held, sections=[broken]))
    assert [fault.reason for fault in record.looked.faults] == ["bad-packed-array"]
