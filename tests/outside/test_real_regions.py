"""Region files of real saves: other compressions, several regions, damage that others described."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import pytest

from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.outside.judged_regions import DERIVED, WORLDS, inventory, needs_worlds
from tests.outside.judged_saves import REAL
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Real saves"
WHY = "counts, positions and texts"
PACKED = Check(
    SUBJECT,
    "REAL7",
    "the chunks of a save of 1.16, as LZ4 streams that lz4-java wrote, and as external files and"
    " others in mixed compressions",
    "the inventory and the status of every slot are those of the save as the game wrote it",
    Source(
        Evidence.DATA,
        "PrismarineJS/prismarine-provider-anvil, test/fixtures/1.16; packed again, LZ4 with"
        " lz4-java 1.8.0",
        "github.com/PrismarineJS/prismarine-provider-anvil, github.com/lz4/lz4-java",
    ),
    why=WHY,
)
WORKERS = Check(
    SUBJECT,
    "REAL8",
    "a save of 26.1.2 with four regions, scanned in this process and in two others",
    "the same statuses, leftovers and facts",
    REAL,
    why=WHY,
)
LAYOUT = Check(
    SUBJECT,
    "REAL9",
    "the folders of a save of 26.1.2",
    "one dimension, minecraft:overworld, with four regions, and nothing wrong",
    REAL,
    why=WHY,
)
DAMAGE = Check(
    SUBJECT,
    "REAL10",
    "a region of 21 slots, 12 of them damaged on purpose",
    "a fault for each damaged slot, of the kind that its authors describe; nine old chunks",
    Source(
        Evidence.DATA,
        "twoolie/NBT: tests/regiontest.mca as tests/regiontests.py describes it",
        "github.com/twoolie/NBT",
    ),
    why="in this project's words. Compression 3 is called unknown there and means plain data since;"
    " two slots called readable there hold copies of other chunks",
)
pytestmark = needs_worlds


@checked(PACKED)
@pytest.mark.parametrize("save", DERIVED)
def test_other_compressions_and_external_files_hold_the_same_world(save: str) -> None:
    mine, its = inventory(save), inventory(DERIVED[save])
    assert mine.rows == its.rows
    assert mine.states == its.states
    assert mine.fields == its.fields
    assert [region.status for region in mine.coverage.regions] == [
        region.status for region in its.coverage.regions
    ]


@checked(WORKERS)
def test_processes_make_no_difference_to_a_save_of_several_regions() -> None:
    files = locate_save(WORLDS / "rustmc-server/26.1.2")
    wanted = Wanted({"minecraft:chest": ()})
    with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as pool:
        together = scan_save(files, wanted, executor=pool)
    alone = scan_save(files, wanted)
    assert together.coverage.regions == alone.coverage.regions
    assert together.leftovers == alone.leftovers
    assert together.facts == alone.facts


@checked(LAYOUT)
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


@checked(DAMAGE)
def test_a_region_with_damaged_slots_gives_a_fault_for_each() -> None:
    scan = scan_save(locate_save(WORLDS / "twoolie-nbt/damaged"), Wanted({}, every_byte=True))
    faults = {(f.chunk.cx, f.chunk.cz - 32): f.reason for f in scan.coverage.faults if f.chunk}
    assert faults == DAMAGED
    # The nine others that are readable there are from before 1.13.
    assert scan.coverage.counts()[SlotStatus.OLD] == 9
