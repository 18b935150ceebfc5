"""Regions whose chunks are read whole by machine code, held against the plain way."""

from __future__ import annotations

import struct
from pathlib import Path
from random import Random

import pytest

from analyzer.base.limits import Limits
from analyzer.save.files.locate import locate_save
from analyzer.save.files.save_files import RegionFile
from analyzer.save.scan import scan_region as scan_region_module
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.scan.wanted import Wanted
from analyzer.save.sift import known_leads, whole_read
from analyzer.save.sift.first_piece import FirstPiece
from tests.fuzz.scanning import as_if_old
from tests.outside.test_real_saves import SAVES, WORLDS
from tests.save.chunks import broken_after, chunk_tree, entity, region, region_file, section, stored
from tests.save.nbt_bytes import byte_array, integer
from tests.support.kernel import compiled_kernel

#: Block entities and blocks that the real saves have.
COMMON = Wanted(
    {f"minecraft:{name}": (("x",), ("Items", 0, "Slot")) for name in ("chest", "furnace", "sign")},
    entity_blocks=frozenset({"minecraft:chest", "minecraft:furnace"}),
    known_blocks=frozenset({"minecraft:chest"}),
)
PARTS = Wanted(
    {"quayworks:shaft": (("turns",),)},
    entity_blocks=frozenset({"quayworks:shaft"}),
    namespaces=frozenset({"quayworks"}),
    known_blocks=frozenset({"quayworks:shaft"}),
)
PALETTE = ["minecraft:air", "quayworks:shaft[axis=x]", "quayworks:bollard"]


@pytest.fixture
def charted(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """Use machine code from the first chunk on; holds the chunks that were charted."""
    kernel, seen = compiled_kernel(), []
    chart = whole_read.QuickChart.chart

    def noting(self: whole_read.QuickChart, data: bytes) -> object:
        charted = chart(self, data)
        if charted is not None:
            seen.append(data)
        return charted

    monkeypatch.setattr(whole_read, "kernel_if_worth", lambda _: kernel)
    monkeypatch.setattr(whole_read.QuickChart, "chart", noting)
    return seen


def yard(cx: int) -> bytes:
    version = (3955, 2586, 1976, 1343)[cx % 4]
    turning = [entity("quayworks:shaft", 16 * cx + n, 1, 2, turns=integer(n)) for n in range(3)]
    cells = {256 + 32 + n: 1 for n in range(4)} | {7: 2}
    sections = [section(0, PALETTE, cells, version=version)]
    return chunk_tree(cx, 0, version=version, entities=turning, sections=sections)


@pytest.mark.skipif(not WORLDS.is_dir(), reason="needs the real saves beside the checkout")
def test_real_regions_are_read_alike(charted: list[bytes]) -> None:
    for save in SAVES:
        for file in locate_save(WORLDS / save).regions[:2]:
            assert scan_region(file, COMMON, Limits()) == scan_region(
                file, COMMON, Limits(), quick=False
            )
    assert len(charted) > 100


def test_chunks_with_parts_of_every_layout_are_read_alike(
    tmp_path: Path, charted: list[bytes]
) -> None:
    chunks = [yard(cx) for cx in range(8)]
    file = region_file(tmp_path, region({n: stored(data) for n, data in enumerate(chunks)}))
    record = scan_region(file, PARTS, Limits())
    assert record == scan_region(file, PARTS, Limits(), quick=False)
    assert set(charted) == set(chunks)
    # Those of before 1.13 are old, and have no parts.
    assert (len(record.cells), len(record.bare)) == (18, 6)
    assert record.strangers == (("quayworks:bollard", 6),)


@pytest.mark.parametrize("seed", range(30))
def test_altered_chunks_with_parts_are_read_alike(
    tmp_path: Path, charted: list[bytes], seed: int
) -> None:
    chance = Random(seed)
    slots = {}
    for cx in range(12):
        data = bytearray(yard(cx))
        for _ in range(chance.choice((0, 1, 3))):
            data[chance.randrange(min(len(data), 600))] = chance.randrange(256)
        # Not compressed, so that some of what is altered is read.
        slots[cx] = stored(bytes(data), 3)
    file = region_file(tmp_path, region(slots))
    assert scan_region(file, PARTS, Limits()) == scan_region(file, PARTS, Limits(), quick=False)
    assert charted


def test_machine_code_is_asked_for_by_how_many_chunks_are_read_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[float] = []
    monkeypatch.setattr(whole_read, "kernel_if_worth", asked.append)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    chunks = {0: chunk_tree(0, 0), 4: yard(4), 8: yard(8)}
    file = region_file(tmp_path, region({n: stored(data) for n, data in chunks.items()}))
    scan_region(file, PARTS, Limits(), sources=100)
    # It may be there already, for a region before; otherwise it must be worth while.
    assert [seconds for seconds in asked if seconds] == [
        pytest.approx(50 * 300e-6),
        pytest.approx(100 * 300e-6),
    ]
    asked.clear()
    scan_region(file, PARTS, Limits(), sources=100, quick=False)
    scan_region(file, PARTS, Limits(depth=40), sources=100)
    assert asked == []


@pytest.mark.parametrize("longest", [0, 300, 3_000])
def test_a_region_of_late_lists_makes_no_difference_to_how_the_next_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, charted: list[bytes], longest: int
) -> None:
    settled: list[int] = []
    note = FirstPiece.note

    def noting(self: FirstPiece, inflated_bytes: int, *, ended: bool) -> None:
        note(self, inflated_bytes, ended=ended)
        settled.append(self.size)

    def yards(folder: str, size: int, **options: bool) -> RegionFile:
        slots = {}
        for cx in range(8):
            more = {"ballast": byte_array(Random(cx).choices(range(128), k=20_000))}
            name = "q:" + "a" * (longest if cx % 4 else 1)
            listed = [entity(name, 16 * cx, 1, 2)] if size else []
            tree = chunk_tree(cx, 0, entities=listed, more=more, **options)
            slots[cx] = stored(tree)
        return region_file(tmp_path / folder, region(slots))

    late, early = yards("late", 1, last=True), yards("early", longest)
    monkeypatch.setattr(FirstPiece, "note", noting)
    monkeypatch.setattr(known_leads, "_recent", [])
    runs = []
    for before in (early, late):
        scan_region(before, PARTS, Limits())
        assert scan_region_module._late is (before is late)
        settled.clear()
        charted.clear()
        runs.append((scan_region(early, PARTS, Limits()), list(settled)))
    assert runs[0] == runs[1]
    # Without an entity they are known by how those of the region before began.
    assert charted or not longest
    assert runs[0][0] == scan_region(early, PARTS, Limits(), quick=False)


@pytest.mark.parametrize("seed", range(30))
def test_false_chunks_behind_a_region_of_late_lists_are_read_alike(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, charted: list[bytes], seed: int
) -> None:
    monkeypatch.setattr(scan_region_module, "_late", True)
    chance = Random(seed)
    slots = {}
    for cx in range(4):
        more = {"ballast": byte_array(Random(cx).choices(range(9), k=9000))}
        # With an entity, so that each is walked.
        data = chunk_tree(cx, 0, entities=[entity("q:a", 16 * cx, 1, 2)], more=more)
        changed = bytearray(yard(cx) if chance.random() < 0.3 else data)
        if chance.random() < 0.7:
            changed[chance.randrange(min(len(changed), 3000))] = chance.randrange(256)
        # Of one that is damaged behind its list nothing is told but the list.
        damaged = broken_after(bytes(changed))
        slots[cx] = (
            struct.pack(">iB", len(damaged) + 1, 2) + damaged
            if chance.random() < 0.3
            else stored(bytes(changed))
        )
    file = region_file(tmp_path, region(slots))
    with as_if_old():
        record = scan_region(file, PARTS, Limits())
    assert record == scan_region(file, PARTS, Limits(), quick=False)
