"""One chunk that changes under its reader, at a moment of the test's choosing."""

from __future__ import annotations

import json
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.save.files import file_state
from analyzer.save.files.locate import locate_save
from analyzer.save.files.region import SECTOR_BYTES, Location, Payload, RegionReader
from analyzer.save.files.save_files import RegionFile
from analyzer.save.reading import region_slots
from analyzer.save.reading.read_block import read_block
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.record_codec import is_lasting
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from tests.damage.damage import BESIDE, CATALOGUE, SLOT, SOUND, within
from tests.save.chunks import chunk_tree, entity, region, region_file, section, stored
from tests.save.nbt_bytes import Tag, integer
from tests.support.command import lineshaft

GAUGE = "quayworks:tide_gauge"
WANTED = Wanted({GAUGE: (("Level",),)})


def gauge(level: int) -> bytes:
    kept = entity(GAUGE, 0, 0, 0, Level=integer(level), Ballast=Tag(7, bytes(4)))
    return stored(chunk_tree(0, 0, entities=[kept], sections=[section(0, [GAUGE], {})]))


def levels(record: ScanRecord) -> list[int]:
    return record.integers.tolist()


@pytest.fixture
def old(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have every file count as one that was written long ago."""
    monkeypatch.setattr(file_state, "SETTLED_NS", -(10**18))


@pytest.fixture
def on_reading(monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[int], None]], None]:
    """Have something done after each reading of a chunk, told how many there were before."""

    def install(act: Callable[[int], None]) -> None:
        plain = RegionReader.payload
        readings = 0

        def reading(self: RegionReader, location: Location) -> Payload:
            nonlocal readings
            try:
                return plain(self, location)
            finally:
                readings += 1
                act(readings - 1)

        monkeypatch.setattr(RegionReader, "payload", reading)

    return install


def rewritten(file: RegionFile, *, upto: int) -> Callable[[int], None]:
    """Return what writes another version of the only chunk for the first so many times."""

    def act(reading: int) -> None:
        if reading < upto:
            file.path.write_bytes(region({0: gauge(100 + reading)}))

    return act


def test_a_chunk_that_changes_under_the_reader_is_read_again(
    tmp_path: Path, on_reading: Callable[[Callable[[int], None]], None]
) -> None:
    file = region_file(tmp_path, region({0: gauge(0)}))
    on_reading(rewritten(file, upto=3))
    record = scan_region(file, WANTED, Limits())
    assert (levels(record), record.looked.faults) == ([102], ())


@pytest.mark.usefixtures("old")
def test_a_file_that_was_quiet_until_it_was_read_is_read_again(
    tmp_path: Path, on_reading: Callable[[Callable[[int], None]], None]
) -> None:
    file = region_file(tmp_path, region({0: gauge(0)}))
    on_reading(rewritten(file, upto=1))
    record = scan_region(file, WANTED, Limits())
    assert (levels(record), record.looked.faults) == ([100], ())


@pytest.mark.usefixtures("old")
def test_a_file_that_nobody_writes_is_read_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = region_file(tmp_path, region({0: gauge(5)}))
    monkeypatch.delattr(region_slots, "SteadyReader")
    assert levels(scan_region(file, WANTED, Limits())) == [5]


def test_a_chunk_that_never_holds_still_is_unstable(
    tmp_path: Path, on_reading: Callable[[Callable[[int], None]], None]
) -> None:
    file = region_file(tmp_path, region({0: gauge(0)}))
    on_reading(rewritten(file, upto=10**9))
    record = scan_region(file, WANTED, Limits())
    (fault,) = record.looked.faults
    assert (fault.reason, fault.chunk) == ("unstable", Chunk(0, 0))
    assert record.looked.status[0] == SlotStatus.UNSTABLE
    assert levels(record) == []
    assert not is_lasting(record)
    there = read_block(locate_save(tmp_path), "unnamed", Block(0, 0, 0))
    assert there.status == SlotStatus.UNSTABLE


def test_damage_that_holds_still_is_damage(tmp_path: Path) -> None:
    file = region_file(tmp_path, region({0: gauge(0)[:40], 1: gauge(0)}))
    (cut, elsewhere) = scan_region(file, WANTED, Limits()).looked.faults
    assert (cut.reason, elsewhere.reason) == ("bad-zlib-stream", "wrong-place")


def test_damage_that_is_gone_at_the_second_look_is_none(
    tmp_path: Path, on_reading: Callable[[Callable[[int], None]], None]
) -> None:
    file = region_file(tmp_path, region({0: gauge(0)[:40]}))
    # A reading is two looks at the same bytes; they are damaged at both.
    on_reading(lambda n: None if n != 1 else void(file.path.write_bytes(region({0: gauge(7)}))))
    record = scan_region(file, WANTED, Limits())
    assert (levels(record), record.looked.faults) == ([7], ())


def void(_: object) -> None:
    """Return nothing, whatever was done."""


def test_a_chunks_own_file_may_come_after_its_slot(
    tmp_path: Path, on_reading: Callable[[Callable[[int], None]], None]
) -> None:
    whole = gauge(9)
    file = region_file(tmp_path, region({0: b"\x00\x00\x00\x01\x82"}))
    own = tmp_path / "c.0.0.mcc"
    on_reading(lambda n: None if n else void(own.write_bytes(whole[5:])))
    assert levels(scan_region(file, WANTED, Limits())) == [9]


@pytest.mark.usefixtures("old")
def test_a_chunks_own_file_that_is_being_written_is_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = region_file(tmp_path, region({0: b"\x00\x00\x00\x01\x82"}))
    own = tmp_path / "c.0.0.mcc"
    own.write_bytes(gauge(1)[5:])
    plain = RegionReader._bytes
    readings = []

    def reading(self: RegionReader, *given: object) -> bytes:
        data = plain(self, *given)  # type: ignore[arg-type]
        readings.append(data)
        if len(readings) == 1:
            own.write_bytes(gauge(2)[5:])
        return data

    monkeypatch.setattr(RegionReader, "_bytes", reading)
    assert levels(scan_region(file, WANTED, Limits())) == [2]


def test_an_unstable_chunk_is_told_and_cuts_what_lies_beside_it(
    tmp_path: Path, on_reading: Callable[[Callable[[int], None]], None]
) -> None:
    catalogue = tmp_path / "slipway.toml"
    catalogue.write_text(CATALOGUE, "utf-8")
    home = tmp_path / "region"
    region_file(home, BESIDE, rx=-1)
    file = region_file(home, within(stored(SOUND)))

    def saved(reading: int) -> None:
        # All that changes is when chunk (0, 0) was last written.
        changed = bytearray(file.path.read_bytes())
        struct.pack_into(">I", changed, SECTOR_BYTES + 4 * SLOT, reading)
        file.path.write_bytes(changed)

    on_reading(saved)
    asked = ["audit", home, "--catalogue", catalogue, "--no-config", "--no-cache"]
    done = lineshaft(*asked, "--format", "json")
    report = json.loads(done.out)
    assert done.status == 3
    assert report["scan"]["chunks"]["unstable"] == 1
    (fault,) = report["unread"]
    assert (fault["reason"], fault["chunk"]) == ("unstable", [0, 0])
    cuts = [cut["reason"] for network in report["networks"] for cut in network["cut"]]
    assert "unstable" in cuts
    text = lineshaft(*asked)
    assert text.status == 3
    assert "1 unstable" in text.out
    assert "(being written 1)" in text.out
    assert lineshaft(*asked, "--allow-unread").status == 0
