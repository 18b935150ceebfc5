"""Region files with bytes altered at random: whatever comes, it is a result and never a crash."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from analyzer.base.limits import Limits
from analyzer.save.inventory.list_region import list_region
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from tests.save.chunks import chunk_tree, entity, region, region_file, section, stored
from tests.save.nbt_bytes import integer, list_of

WANTED = Wanted({"quayworks:shaft": (("Loads", 0),)}, frozenset({"quayworks:plank_3"}))
PALETTE = [f"quayworks:plank_{number}" for number in range(20)]


def yard() -> bytes:
    slots = {}
    for slot, version in enumerate((1631, 2586, 2840, 2975, 3955, 4790)):
        x = 16 * slot
        slots[slot] = stored(
            chunk_tree(
                slot,
                0,
                version=version,
                status="postprocessed" if version < 1912 else "minecraft:full",
                entities=[entity("quayworks:shaft", x, 5, 1, Loads=list_of(integer(slot)))],
                sections=[section(0, PALETTE, {7: 3, 4000: 19}, version=version)],
            ),
            # Not compressed, so that an altered byte alters one value.
            3,
        )
    return region(slots)


@pytest.mark.parametrize("seed", range(60))
def test_altered_bytes_never_end_a_scan(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    data = bytearray(yard())
    # Few of the bytes matter much: headers, names, lengths; most lie in packed indices.
    for _ in range(chance.choice([1, 5, 40, 400])):
        sector = chance.choice([0, 2 * 4096, 2 * 4096, chance.randrange(0, len(data), 4096)])
        data[min(sector + chance.randrange(400), len(data) - 1)] = chance.randrange(256)
    cut = len(data) if chance.random() < 0.7 else chance.randrange(len(data))
    file = region_file(tmp_path, bytes(data[:cut]))
    record = scan_region(file, WANTED, Limits(inflated_bytes=1 << 20))
    listing = list_region(file, Limits(inflated_bytes=1 << 20))
    for slots in (record.looked, listing.looked):
        broken = [n for n in range(1024) if slots.status[n] == SlotStatus.UNREADABLE]
        assert len([f for f in slots.faults if f.chunk is not None]) == len(broken)
    again = scan_region(file, WANTED, Limits(inflated_bytes=1 << 20))
    assert (again.looked, again.states, again.leftovers) == (
        record.looked,
        record.states,
        record.leftovers,
    )
    assert again.cells.tolist() == record.cells.tolist()


def test_the_unaltered_region_is_read_whole(tmp_path: Path) -> None:
    record = scan_region(region_file(tmp_path, yard()), WANTED, Limits())
    assert record.looked.status[:6] == bytes([SlotStatus.READ]) * 6
    assert len(record.cells) == 12
    assert record.integers.tolist() == list(range(6))


def test_a_read_error_in_one_chunk_leaves_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from analyzer.save.files.region import Location, Payload, RegionReader

    plain = RegionReader.payload

    def failing(self: RegionReader, location: Location) -> Payload:
        if location.slot == 2:
            raise OSError(5, "Input/output error")
        return plain(self, location)

    monkeypatch.setattr(RegionReader, "payload", failing)
    record = scan_region(region_file(tmp_path, yard()), WANTED, Limits())
    (fault,) = record.looked.faults
    assert fault.reason == "cannot-read"
    assert fault.detail == "the file cannot be read: input/output error"
    assert record.looked.status.count(SlotStatus.READ) == 5
    assert len(record.cells) == 10
