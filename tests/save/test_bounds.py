"""Bounds on what a save may make a reader remember: what goes beyond is told."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from analyzer.base.limits import Limits
from analyzer.save.chunk import tally
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.chunk.template import read_template
from analyzer.save.inventory import listing
from analyzer.save.inventory.list_region import list_region
from analyzer.save.nbt.damage import DamageError
from analyzer.save.scan import gather
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.scan.wanted import Wanted
from analyzer.save.sift import whole_sift
from tests.save.chunks import chunk_tree, entity, region, region_file, section, stored
from tests.save.nbt_bytes import Tag, byte_array, compound, text
from tests.save.templates import block, template_tree
from tests.support.kernel import compiled_kernel

WANTED = Wanted({"a:wheel": ()}, blocks=frozenset({"a:keel"}), entity_blocks=frozenset({"a:wheel"}))
READ, UNREADABLE = SlotStatus.READ, SlotStatus.UNREADABLE


def wheels(chunk: int, count: int) -> bytes:
    """Return a chunk with so many wheels in a row."""
    entities = [entity("a:wheel", 16 * chunk + n % 16, 64, n // 16) for n in range(count)]
    cells = {(n // 16) << 4 | n % 16: 1 for n in range(count)}
    return chunk_tree(
        chunk, 0, entities=entities, sections=[section(4, ["minecraft:air", "a:wheel"], cells)]
    )


def scanned(folder: Path, chunks: list[bytes], limits: Limits) -> ScanRecord:
    slots = {slot: stored(chunk) for slot, chunk in enumerate(chunks)}
    # What is known of some of them makes no difference.
    some = dict(list(slots.items())[1:])
    former = scan_region(region_file(folder, region(some)), WANTED, limits)
    file = region_file(folder, region(slots))
    record = scan_region(file, WANTED, limits)
    assert record == scan_region(file, WANTED, limits, quick=False)
    assert record == scan_region(file, WANTED, limits, former=former)
    return record


def statuses(record: ScanRecord, count: int) -> list[int]:
    return list(record.looked.status[:count])


def test_a_chunk_of_as_many_block_entities_as_the_limit_is_read(tmp_path: Path) -> None:
    chunk = [wheels(0, 30)]
    assert statuses(scanned(tmp_path, chunk, Limits(parts=30)), 1) == [READ]
    record = scanned(tmp_path, chunk, Limits(parts=29))
    (fault,) = record.looked.faults
    assert (fault.reason, fault.detail) == (
        "too-large",
        "30 block entities are more than the limit",
    )
    assert (
        list_region(region_file(tmp_path, region({0: stored(chunk[0])})), Limits(parts=29)).rows
        == ()
    )


def test_parts_of_a_region_beyond_the_limit_cost_the_chunk_that_brings_them(tmp_path: Path) -> None:
    chunks = [wheels(0, 30), wheels(1, 30), wheels(2, 10)]
    record = scanned(tmp_path, chunks, Limits(parts=59))
    assert statuses(record, 3) == [READ, UNREADABLE, READ]
    assert len(record.cells) == 40
    assert record.looked.faults[0].detail == (
        "with it the region would have more parts than the limit of 59"
    )
    assert statuses(scanned(tmp_path, chunks, Limits(parts=70)), 3) == [READ, READ, READ]


def test_whole_sections_of_parts_stop_at_the_limit(tmp_path: Path) -> None:
    # Eighty bytes each, and 4,096 parts.
    keels = chunk_tree(
        0, 0, sections=[section(height, ["a:keel"], {}) for height in range(-60, 60)]
    )
    record = scanned(tmp_path, [keels], Limits(parts=100_000))
    assert [fault.reason for fault in record.looked.faults] == ["too-large"]
    assert len(record.cells) == 0
    assert len(scanned(tmp_path, [keels], Limits(parts=120 * 4096)).cells) == 120 * 4096


def test_whole_sections_of_bare_blocks_are_remembered_up_to_a_bound(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gather, "_MOST_BARE", 10_000)
    keel = section(-1, ["minecraft:air", "a:keel"], {0: 1})
    bare = chunk_tree(0, 0, sections=[keel, *(section(y, ["a:wheel"], {}) for y in range(40))])
    record = scanned(tmp_path, [bare], Limits())
    assert statuses(record, 1) == [READ]
    assert len(record.bare) == 10_000


def test_palettes_of_more_entries_than_the_limit_are_refused(tmp_path: Path) -> None:
    sections = [section(y, ["a:keel", *(f"a:p{y}_{n}" for n in range(19))], {}) for y in range(3)]
    chunk = [chunk_tree(0, 0, sections=sections)]
    assert statuses(scanned(tmp_path, chunk, Limits(palette_entries=60)), 1) == [READ]
    record = scanned(tmp_path, chunk, Limits(palette_entries=59))
    (fault,) = record.looked.faults
    assert fault.reason == "bad-palette"
    assert fault.detail == "20 entries of palettes are more than the limit leaves"


def test_entries_of_palettes_larger_than_the_limit_are_refused(tmp_path: Path) -> None:
    chunk = [chunk_tree(0, 0, sections=[section(0, ["a:keel", "a:" + "x" * 400], {})])]
    assert statuses(scanned(tmp_path, chunk, Limits(state_bytes=500)), 1) == [READ]
    record = scanned(tmp_path, chunk, Limits(state_bytes=400))
    assert [fault.reason for fault in record.looked.faults] == ["bad-palette"]


def test_a_template_keeps_to_the_limits_of_palettes() -> None:
    tree = template_tree([block(0, 0, 0)], ["a:keel"] * 30)
    read_template(tree, Limits(palette_entries=30))
    with pytest.raises(DamageError, match="more than the limit"):
        read_template(tree, Limits(palette_entries=29))


def unknown(chunk: int, names: range) -> bytes:
    return chunk_tree(chunk, 0, entities=[entity(f"b:{n}", 16 * chunk, 0, 0) for n in names])


def test_ids_of_too_many_sorts_cost_the_chunk_that_brings_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tally, "_MOST_IDS", 50)
    chunks = [unknown(0, range(30)), unknown(1, range(20, 60)), unknown(2, range(20, 50))]
    record = scanned(tmp_path, chunks, Limits())
    assert [bool(status == UNREADABLE) for status in statuses(record, 3)] == [False, True, False]
    assert len(record.leftovers.unknown) == 50
    assert (
        record.looked.faults[0].detail == "with it the region would have too many different names"
    )


def test_machine_code_counts_no_id_too_many(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tally, "_MOST_IDS", 50)
    kernel = compiled_kernel()
    asked: list[float] = []
    monkeypatch.setattr(whole_sift, "kernel_if_worth", lambda cost: asked.append(cost) or kernel)
    wanted = Wanted({"a:wheel": ()})
    slots = {}
    for n in range(12):
        entities = [entity(f"b:{8 * n + k}", 16 * n, 0, 0) for k in range(8)]
        # The list comes last, behind noise, so that chunks are walked whole.
        more = {"ballast": byte_array(Random(n).choices(range(128), k=9000))}
        slots[n] = stored(chunk_tree(n, 0, entities=entities, last=True, more=more))
    file = region_file(tmp_path, region(slots))
    record = scan_region(file, wanted, Limits())
    assert asked
    assert record == scan_region(file, wanted, Limits(), quick=False)
    assert len(record.leftovers.unknown) == 48
    assert sum(status == UNREADABLE for status in statuses(record, 12)) == 6


def test_ids_of_too_many_bytes_cost_the_chunk_that_brings_them(tmp_path: Path) -> None:
    def long_named(chunk: int, letters: str) -> bytes:
        named = [entity(letter * 60_000, 16 * chunk, 0, 0) for letter in letters]
        return chunk_tree(chunk, 0, entities=named)

    chunks = [
        long_named(0, "abcdefghijklmnop"),
        *(long_named(n, f"{n}" + "x") for n in range(1, 3)),
    ]
    chunks += [chunk_tree(3, 0, entities=[entity(f"{n:060000}", 48, 0, 0) for n in range(60)])]
    record = scanned(tmp_path, chunks, Limits())
    assert [status == UNREADABLE for status in statuses(record, 4)] == [False, False, False, True]


def test_a_listing_keeps_to_the_limits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = region_file(tmp_path, region({n: stored(wheels(n, 30)) for n in range(3)}))
    found = list_region(file, Limits(parts=60))
    assert len(found.rows) == 60
    assert [fault.reason for fault in found.looked.faults] == ["too-large"]
    monkeypatch.setattr(listing, "_MOST_NAMES", 10)
    chunk: list[Tag] = [compound(id=text(f"b:{n}"), x=Tag(3, bytes(4))) for n in range(11)]
    old = chunk_tree(0, 0, version=1343, entities=chunk)
    found = list_region(region_file(tmp_path, region({0: stored(old)})), Limits())
    assert [fault.reason for fault in found.looked.faults] == ["too-large"]
    assert not found.older
