"""Every way in which a slot can be wrong, each in a small region file."""

from __future__ import annotations

import os
import struct
import zlib
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.files.save_files import RegionFile
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from tests.save.chunks import (
    LZ4_END,
    chunk_tree,
    compress,
    lz4_block,
    region,
    region_file,
    section,
    stored,
    with_location,
)
from tests.save.nbt_bytes import Tag, byte_array, compound, integer, list_of, text, tree

READ_WHOLE = Wanted({}, every_byte=True)
GOOD = chunk_tree(0, 0)


def scan(file: RegionFile, limits: Limits = Limits()) -> ScanRecord:  # noqa: B008
    return scan_region(file, READ_WHOLE, limits)


def the_fault(
    folder: Path,
    data: bytes,
    limits: Limits = Limits(),  # noqa: B008
) -> tuple[str, int | None]:
    """Scan a region whose slot 0 is unreadable; return the fault's reason and offset."""
    record = scan(region_file(folder, data), limits)
    assert record.looked.status[0] == SlotStatus.UNREADABLE
    (fault,) = record.looked.faults
    assert (fault.dimension, fault.file, fault.chunk) == ("unnamed", "r.0.0.mca", Chunk(0, 0))
    assert str(folder) not in fault.detail
    return fault.reason, fault.offset


def test_a_region_of_no_bytes_has_no_chunks_and_no_fault(tmp_path: Path) -> None:
    record = scan(region_file(tmp_path, b""))
    assert record.looked.status == bytes(1024)
    assert record.looked.faults == ()


def test_a_short_header_is_a_fault_of_the_file_and_reads_as_zeros(tmp_path: Path) -> None:
    record = scan(region_file(tmp_path, region({})[:5000]))
    assert record.looked.status == bytes(1024)
    assert [(f.reason, f.chunk) for f in record.looked.faults] == [("short-header", None)]


def test_a_location_in_a_short_header_points_beyond_the_end(tmp_path: Path) -> None:
    record = scan(region_file(tmp_path, with_location(region({}), 0, 2, 1)[:4096]))
    assert [f.reason for f in record.looked.faults] == ["short-header", "beyond-end"]


@pytest.mark.parametrize("sector", [0, 1])
def test_a_slot_in_the_header_is_unreadable(tmp_path: Path, sector: int) -> None:
    data = with_location(region({0: stored(GOOD)}), 0, sector, 1)
    assert the_fault(tmp_path, data) == ("in-header", sector * 4096)


def test_a_slot_of_no_sectors_is_unreadable(tmp_path: Path) -> None:
    data = with_location(region({0: stored(GOOD)}), 0, 2, 0)
    assert the_fault(tmp_path, data) == ("no-sectors", 8192)


@pytest.mark.parametrize("sector", [3, 4, 2**24 - 1])
def test_a_slot_at_or_beyond_the_end_is_unreadable(tmp_path: Path, sector: int) -> None:
    data = with_location(region({0: stored(GOOD)}), 0, sector, 1)
    assert the_fault(tmp_path, data) == ("beyond-end", sector * 4096)


def test_a_chunk_without_its_five_bytes_is_unreadable(tmp_path: Path) -> None:
    data = region({0: stored(GOOD)})[: 8192 + 4]
    assert the_fault(tmp_path, data) == ("cut-chunk-header", 8192)


@pytest.mark.parametrize("length", [0, -1, -(2**31), 4093, 2**31 - 1])
def test_a_false_length_is_unreadable(tmp_path: Path, length: int) -> None:
    data = region({0: struct.pack(">iB", length, 2) + zlib.compress(GOOD)})
    assert the_fault(tmp_path, data) == ("bad-length", 8192)


def test_a_chunk_may_fill_its_sectors_to_the_last_byte(tmp_path: Path) -> None:
    payload = GOOD.ljust(4096 - 5, b"\x00")
    data = region({0: struct.pack(">iB", len(payload) + 1, 3) + payload})
    assert scan(region_file(tmp_path, data)).looked.status[0] == SlotStatus.READ


def test_a_file_that_is_not_padded_at_its_end_is_read(tmp_path: Path) -> None:
    # The last payload byte of a zlib stream may be zero; then it goes too, and does not matter.
    record = scan(region_file(tmp_path, region({0: stored(GOOD)}, pad=False)))
    assert record.looked.status[0] == SlotStatus.READ


def test_a_file_that_ends_within_a_chunk_makes_it_unreadable(tmp_path: Path) -> None:
    data = region({0: stored(GOOD)})[: 8192 + 40]
    assert the_fault(tmp_path, data) == ("bad-length", 8192)


def test_a_count_of_255_sectors_means_as_many_as_the_chunk_needs(tmp_path: Path) -> None:
    more = {"ballast": byte_array([0] * (300 * 4096))}
    data = region({0: stored(chunk_tree(0, 0, more=more), 3)})
    assert data[3] == 255
    assert scan(region_file(tmp_path, data)).looked.status[0] == SlotStatus.READ


def test_a_count_of_254_sectors_is_meant_as_it_stands(tmp_path: Path) -> None:
    more = {"ballast": byte_array([0] * (300 * 4096))}
    data = with_location(region({0: stored(chunk_tree(0, 0, more=more), 3)}), 0, 2, 254)
    assert the_fault(tmp_path, data) == ("bad-length", 8192)


@pytest.mark.parametrize("kind", [0, 5, 6, 126])
def test_an_unknown_compression_is_unreadable(tmp_path: Path, kind: int) -> None:
    data = region({0: struct.pack(">iB", len(GOOD) + 1, kind) + GOOD})
    assert the_fault(tmp_path, data) == ("unknown-compression", 8192)


def test_a_compression_of_a_servers_own_is_unreadable(tmp_path: Path) -> None:
    payload = struct.pack(">H", 9) + b"quay:fold" + GOOD
    data = region({0: struct.pack(">iB", len(payload) + 1, 127) + payload})
    assert the_fault(tmp_path, data) == ("custom-compression", 8192)


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_an_external_chunk_is_read_from_the_file_beside(tmp_path: Path, kind: int) -> None:
    data = region({33: struct.pack(">iB", 1, 128 + kind)})
    file = region_file(tmp_path, data, rx=-1, rz=2)
    (tmp_path / "c.-31.65.mcc").write_bytes(compress(chunk_tree(-31, 65), kind))
    assert scan(file).looked.status[33] == SlotStatus.READ


def test_an_external_chunk_without_its_file_is_unreadable(tmp_path: Path) -> None:
    assert the_fault(tmp_path, region({0: b"\x00\x00\x00\x01\x82"})) == ("external-missing", 8192)


def test_an_external_chunk_that_cannot_be_opened_is_unreadable(tmp_path: Path) -> None:
    (tmp_path / "c.0.0.mcc").mkdir()
    reason, _ = the_fault(tmp_path, region({0: b"\x00\x00\x00\x01\x82"}))
    assert reason == "external-unreadable"


def test_an_external_file_without_the_flag_is_not_looked_at(tmp_path: Path) -> None:
    file = region_file(tmp_path, region({0: stored(GOOD)}))
    (tmp_path / "c.0.0.mcc").write_bytes(b"stale")
    assert scan(file).looked.status[0] == SlotStatus.READ


def test_an_external_file_that_links_out_of_the_save_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "outside").write_bytes(zlib.compress(GOOD))
    save = tmp_path / "save"
    file = region_file(save, region({0: b"\x00\x00\x00\x01\x82"}))
    (save / "c.0.0.mcc").symlink_to(tmp_path / "outside")
    (fault,) = scan(file).looked.faults
    assert fault.reason == "link-leaves-save"


@pytest.mark.parametrize("missing", [1, 2, 3, 4])
def test_a_zlib_stream_without_its_trailer_is_read(tmp_path: Path, missing: int) -> None:
    payload = zlib.compress(GOOD)[:-missing]
    data = region({0: struct.pack(">iB", len(payload) + 1, 2) + payload})
    assert scan(region_file(tmp_path, data)).looked.status[0] == SlotStatus.READ


def test_a_zlib_stream_cut_before_the_root_ends_is_unreadable(tmp_path: Path) -> None:
    payload = zlib.compress(GOOD)[:-12]
    data = region({0: struct.pack(">iB", len(payload) + 1, 2) + payload})
    assert the_fault(tmp_path, data) == ("cut-short", 8192)


def test_zeros_after_a_stream_do_not_matter(tmp_path: Path) -> None:
    payload = zlib.compress(GOOD) + bytes(100)
    data = region({0: struct.pack(">iB", len(payload) + 1, 2) + payload})
    assert scan(region_file(tmp_path, data)).looked.status[0] == SlotStatus.READ


@pytest.mark.parametrize(("kind", "reason"), [(1, "bad-gzip-stream"), (2, "bad-zlib-stream")])
def test_a_damaged_stream_is_unreadable(tmp_path: Path, kind: int, reason: str) -> None:
    payload = bytearray(compress(GOOD, kind))
    payload[-1] ^= 0xFF
    wrong_check = region({0: struct.pack(">iB", len(payload) + 1, kind) + bytes(payload)})
    assert the_fault(tmp_path, wrong_check) == (reason, 8192)
    nonsense = region({0: struct.pack(">iB", 41, kind) + b"\xee" * 40})
    assert the_fault(tmp_path, nonsense) == (reason, 8192)


@pytest.mark.parametrize(
    "payload",
    [
        b"LZ4Blocc" + lz4_block(GOOD)[8:],
        b"\x04\x22\x4d\x18" + bytes(40),
        lz4_block(GOOD)[:-1],
        lz4_block(GOOD)[:15],
        lz4_block(GOOD, level=0)[:8] + b"\x36" + lz4_block(GOOD)[9:],
        lz4_block(GOOD * 30, level=0),
        struct.pack("<8sBiiI", b"LZ4Block", 0x26, -1, 10, 0),
        struct.pack("<8sBiiI", b"LZ4Block", 0x26, 10, 2**30, 0) + bytes(10),
        struct.pack("<8sBiiI", b"LZ4Block", 0x26, 0, 10, 0),
        struct.pack("<8sBiiI", b"LZ4Block", 0x16, 10, 11, 0) + bytes(10),
        struct.pack("<8sBiiI", b"LZ4Block", 0x26, 10, 50, 0) + b"\xff" * 10,
    ],
)
def test_a_damaged_lz4_stream_is_unreadable(tmp_path: Path, payload: bytes) -> None:
    data = region({0: struct.pack(">iB", len(payload) + 1, 4) + payload})
    assert the_fault(tmp_path, data) == ("bad-lz4-stream", 8192)


def test_lz4_blocks_may_be_stored_raw_and_be_many(tmp_path: Path) -> None:
    pieces = [GOOD[at : at + 7] for at in range(0, len(GOOD), 7)]
    payload = b"".join(lz4_block(p, raw=n % 2 == 0) for n, p in enumerate(pieces)) + LZ4_END
    data = region({0: struct.pack(">iB", len(payload) + 1, 4) + payload})
    assert scan(region_file(tmp_path, data)).looked.status[0] == SlotStatus.READ


def test_an_lz4_stream_without_its_end_block_is_read_where_the_root_is_complete(
    tmp_path: Path,
) -> None:
    payload = lz4_block(GOOD)
    data = region({0: struct.pack(">iB", len(payload) + 1, 4) + payload})
    assert scan(region_file(tmp_path, data)).looked.status[0] == SlotStatus.READ


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_a_chunk_larger_than_the_limit_is_unreadable_and_one_as_large_is_not(
    tmp_path: Path, kind: int
) -> None:
    data = region({0: stored(GOOD, kind)})
    assert the_fault(tmp_path, data, Limits(inflated_bytes=len(GOOD) - 1)) == ("too-large", 8192)
    exact = scan(region_file(tmp_path, data), Limits(inflated_bytes=len(GOOD)))
    assert exact.looked.status[0] == SlotStatus.READ


def test_a_bomb_of_64_mib_is_given_up_at_the_limit(tmp_path: Path) -> None:
    payload = zlib.compress(bytes(64 * 1024 * 1024))
    data = region({0: struct.pack(">iB", len(payload) + 1, 2) + payload})
    assert the_fault(tmp_path, data) == ("too-large", 8192)


def test_a_tree_that_makes_no_sense_is_unreadable(tmp_path: Path) -> None:
    assert the_fault(tmp_path, region({0: stored(b"\x0a\x00\x00\x0d\x00\x00")})) == (
        "bad-nbt",
        8192,
    )


def test_a_chunk_that_gives_itself_another_place_is_unreadable(tmp_path: Path) -> None:
    assert the_fault(tmp_path, region({0: stored(chunk_tree(0, 1))})) == ("wrong-place", 8192)


def test_a_chunk_that_gives_itself_no_place_is_unreadable(tmp_path: Path) -> None:
    data = tree(compound(Status=text("full"), DataVersion=integer(3955)))
    assert the_fault(tmp_path, region({0: stored(data)})) == ("place-missing", 8192)


@pytest.mark.parametrize(
    ("entities", "reason"),
    [
        (list_of(integer(1)), "bad-entity-list"),
        (compound(), "odd-chunk"),
        (integer(3), "odd-chunk"),
    ],
)
def test_block_entities_that_are_no_list_of_compounds_are_unreadable(
    tmp_path: Path, entities: Tag, reason: str
) -> None:
    data = chunk_tree(0, 0, entities=None, more={"block_entities": entities})
    assert the_fault(tmp_path, region({0: stored(data)})) == (reason, 8192)


def test_one_damaged_slot_leaves_the_others_alone(tmp_path: Path) -> None:
    data = region(
        {
            0: stored(GOOD),
            5: b"\x00\x00\x00\x09\x02garbage!",
            37: stored(chunk_tree(5, 1, sections=[section(0, ["quayworks:plank"], {})])),
        }
    )
    record = scan(region_file(tmp_path, data))
    status = record.looked.status
    assert (status[0], status[5], status[37]) == (
        SlotStatus.READ,
        SlotStatus.UNREADABLE,
        SlotStatus.READ,
    )
    assert status.count(SlotStatus.ABSENT) == 1021
    assert [fault.chunk for fault in record.looked.faults] == [Chunk(5, 0)]


def test_overlapping_slots_are_each_judged_by_what_they_hold(tmp_path: Path) -> None:
    data = with_location(region({0: stored(GOOD)}), 1, 2, 1)
    record = scan(region_file(tmp_path, data))
    assert record.looked.status[:2] == bytes([SlotStatus.READ, SlotStatus.UNREADABLE])
    assert [fault.reason for fault in record.looked.faults] == ["wrong-place"]


def all_unreadable(record: ScanRecord) -> str:
    assert record.looked.status == bytes([SlotStatus.UNREADABLE]) * 1024
    (fault,) = record.looked.faults
    assert fault.chunk is None
    return fault.reason


def test_a_region_that_cannot_be_opened_has_1024_unreadable_slots(tmp_path: Path) -> None:
    file = region_file(tmp_path, b"")
    file.path.unlink()
    assert all_unreadable(scan(file)) == "cannot-open"
    file.path.mkdir()
    assert all_unreadable(scan(file)) == "cannot-open"


def test_a_region_without_permission_has_1024_unreadable_slots(tmp_path: Path) -> None:
    file = region_file(tmp_path, region({0: stored(GOOD)}))
    file.path.chmod(0)
    if os.access(file.path, os.R_OK):
        pytest.skip("this user may read everything")
    assert all_unreadable(scan(file)) == "cannot-open"


def test_a_pipe_among_the_regions_is_not_waited_for(tmp_path: Path) -> None:
    if not hasattr(os, "mkfifo"):
        pytest.skip("no named pipes here")
    file = region_file(tmp_path, b"")
    file.path.unlink()
    os.mkfifo(file.path)
    assert all_unreadable(scan(file)) == "cannot-open"


def test_a_region_that_links_out_of_the_save_is_not_followed(tmp_path: Path) -> None:
    outside = region_file(tmp_path / "outside", region({0: stored(GOOD)}))
    file = region_file(tmp_path / "save", b"")
    file.path.unlink()
    file.path.symlink_to(outside.path)
    assert all_unreadable(scan(file)) == "link-leaves-save"


def test_a_link_within_the_save_is_followed(tmp_path: Path) -> None:
    file = region_file(tmp_path, region({0: stored(GOOD)}))
    file.path.rename(tmp_path / "kept")
    file.path.symlink_to(tmp_path / "kept")
    assert scan(file).looked.status[0] == SlotStatus.READ


def test_reading_changes_nothing_in_the_save(tmp_path: Path) -> None:
    file = region_file(tmp_path, region({0: stored(GOOD), 3: b"\x00\x00\x00\x09\x02garbage!"}))
    before = (file.path.read_bytes(), file.path.stat().st_mtime_ns, sorted(tmp_path.iterdir()))
    tmp_path.chmod(0o555)
    try:
        scan(file)
    finally:
        tmp_path.chmod(0o755)
    after = (file.path.read_bytes(), file.path.stat().st_mtime_ns, sorted(tmp_path.iterdir()))
    assert before == after
