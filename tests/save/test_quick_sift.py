"""The quick way of sifting a region, held against the walk of every chunk."""

from __future__ import annotations

import random
import struct
import tempfile
import zlib
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.files.locate import locate_save
from analyzer.save.files.region import Payload
from analyzer.save.reading.slot_walk import SlotWalk
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.sift import known_leads, whole_read, whole_sift
from tests.damage.make_corpus import iter_corpus
from tests.outside.test_real_saves import SAVES, WORLDS
from tests.save.chunks import (
    chunk_tree,
    entity,
    palette_entry,
    region,
    region_file,
    section,
    stored,
    with_location,
)
from tests.save.nbt_bytes import (
    Tag,
    byte,
    byte_array,
    compound,
    compound_of,
    int_array,
    integer,
    list_of,
    long,
    long_array,
    short,
    text,
    tree,
)
from tests.support.kernel import compiled_kernel

BY_ENTITY = Wanted({"quayworks:shaft": ()})
BY_BLOCK = Wanted({"quayworks:shaft": ()}, frozenset({"quayworks:keel"}))
BOTH = (BY_ENTITY, BY_BLOCK)


def scan(folder: Path, data: bytes, wanted: Wanted = BY_ENTITY) -> ScanRecord:
    """Scan a region in both ways, which must agree, and return what they say."""
    file = region_file(folder, data)
    quick = scan_region(file, wanted, Limits())
    assert quick == scan_region(file, wanted, Limits(), quick=False)
    return quick


@pytest.fixture(autouse=True)
def nothing_known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(known_leads, "_recent", [])


@pytest.fixture(autouse=True, params=[False, True], ids=["interpreted", "compiled"])
def machine_code(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> bool:
    """Whether chunks that are inflated or read whole are walked by machine code."""
    kernel = compiled_kernel() if request.param else None
    for module in (whole_sift, whole_read):
        monkeypatch.setattr(module, "kernel_if_worth", lambda _: kernel)
    return bool(request.param)


def known(folder: Path, data: bytes, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return the slots that were told by how others begin."""
    walked: set[int] = set()
    plain = SlotWalk.take

    def noting(walk: SlotWalk, slot: int, chunk: Chunk, payload: Payload) -> SlotStatus:
        walked.add(slot)
        return plain(walk, slot, chunk, payload)

    file = region_file(folder, data)
    with monkeypatch.context() as patch:
        patch.setattr(SlotWalk, "take", noting)
        record = scan_region(file, BY_ENTITY, Limits())
    status = record.looked.status
    assert scan(folder, data) == record
    return [n for n in range(1024) if status[n] != SlotStatus.ABSENT and n not in walked]


def yard(cx: int, **keywords: object) -> bytes:
    """Return a chunk as a region's other chunks are."""
    more = {"age": long(cx * 77), "tide": short(cx), "ballast": byte_array(noise(cx, 900))}
    return chunk_tree(cx, 0, **{"more": more, **keywords})  # type: ignore[arg-type]


def noise(seed: int, size: int) -> list[int]:
    chance = random.Random(seed)
    return [chance.randrange(-128, 128) for _ in range(size)]


def leading(cx: int, before: Mapping[str, Tag], *, z: int = 0, status: str = "full") -> bytes:
    """Return a chunk with some values before its list, and its place among them."""
    content = {
        "Status": text(f"minecraft:{status}"),
        **before,
        "xPos": integer(cx),
        "zPos": integer(z),
        "block_entities": list_of(),
        "ballast": byte_array(noise(cx, 900)),
    }
    content.setdefault("DataVersion", integer(3955))
    return tree(compound_of(content))


def test_chunks_that_begin_like_others_are_not_walked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = region({x: stored(yard(x)) for x in range(12)})
    assert known(tmp_path, data, monkeypatch) == list(range(1, 12))
    # In the next region it is known from the first chunk on.
    assert known(tmp_path, data, monkeypatch) == list(range(12))


def test_numbers_and_arrays_before_the_list_may_differ(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chunks = {}
    for x in range(12):
        before = {
            "LastUpdate": long(x * 10**12),
            "heights": compound(
                OCEAN=long_array(noise(x, 37)), MOON=list_of(integer(x), integer(-x))
            ),
            "depths": list_of(int_array([x, x, x]), int_array([])),
            "isLightOn": byte(x % 2),
        }
        chunks[x] = stored(leading(x, before))
    # Until four chunks say how long the beginnings are, these are too long to be looked at.
    assert known(tmp_path, region(chunks), monkeypatch) == list(range(4, 12))


def test_long_beginnings_of_the_region_before_decide_nothing_for_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, machine_code: bool
) -> None:
    long = {"heights": long_array(noise(1, 30))}
    first = region({x: stored(leading(x, long)) for x in range(8)})
    assert known(tmp_path, first, monkeypatch) == list(range(4, 8))
    mixed = {x: stored(leading(x, long if x % 2 else {})) for x in range(8)}
    known(tmp_path, region(mixed), monkeypatch)
    last = {x: stored(yard(x, last=True)) for x in range(9)}
    # Lists that come last are walked by machine code, as soon as four chunks say that they do.
    told = list(range(4, 9)) if machine_code else []
    assert known(tmp_path, region(last), monkeypatch) == told


@pytest.mark.parametrize("wanted", BOTH)
def test_a_chunk_of_another_place_is_found_out(tmp_path: Path, wanted: Wanted) -> None:
    chunks = {x: stored(leading(x, {})) for x in range(9)}
    chunks[6] = stored(leading(7, {}))
    chunks[7] = stored(leading(7, {}, z=2))
    record = scan(tmp_path, region(chunks), wanted)
    assert [(f.chunk, f.reason) for f in record.looked.faults] == [
        ((6, 0), "wrong-place"),
        ((7, 0), "wrong-place"),
    ]


@pytest.mark.parametrize("wanted", BOTH)
def test_other_lengths_texts_versions_and_stages_are_told_apart(
    tmp_path: Path, wanted: Wanted
) -> None:
    chunks = {x: leading(x, {}) for x in range(20)}
    chunks[5] = leading(5, {}, status="features")
    chunks[6] = leading(6, {"heights": long_array([1])})
    chunks[7] = leading(7, {"heights": long_array([1, 2])})
    chunks[8] = leading(8, {"heights": int_array([1, 2])})
    chunks[9] = leading(9, {"DataVersion": integer(4000)})
    chunks[10] = leading(10, {"DataVersion": integer(1000)})
    chunks[11] = leading(11, {"DataVersion": short(4001)})
    chunks[12] = yard(12, entities=[entity("quayworks:bollard", 192, 1, 1)])
    chunks[13] = yard(13, entities=[entity("quayworks:shaft", 208, 1, 1)])
    chunks[14] = yard(14, entities=None)
    chunks[15] = leading(15, {}, status="features")
    record = scan(tmp_path, region({x: stored(data) for x, data in chunks.items()}), wanted)
    assert record.looked.faults == ()
    status = record.looked.status
    sifted = [0, 1, 2, 3, 4, 6, 7, 8, 9, 11, 12, *range(16, 20)]
    assert [x for x in range(20) if status[x] == SlotStatus.SIFTED] == sifted
    assert [x for x in range(20) if status[x] == SlotStatus.UNFINISHED] == [5, 15]
    assert [x for x in range(20) if status[x] == SlotStatus.READ] == [10, 13, 14]
    assert record.leftovers.unknown == (("quayworks:bollard", 1),)
    assert set(record.looked.data_versions) >= {1000, 4000, 4001}


@pytest.mark.parametrize("wanted", BOTH)
def test_slots_that_lead_to_nothing_sound_give_their_faults(tmp_path: Path, wanted: Wanted) -> None:
    chunks = {x: stored(yard(x)) for x in range(14)}
    chunks[5] = stored(yard(5), 1)
    chunks[6] = stored(yard(6), 3)
    chunks[7] = stored(yard(7), 4)
    chunks[8] = struct.pack(">iB", 0, 2)
    chunks[9] = struct.pack(">iB", 9999, 2)
    chunks[10] = struct.pack(">iB", 700, 2) + bytes(700)
    chunks[11] = stored(yard(11))[:60]
    chunks[12] = struct.pack(">iB", 300, 2) + stored(yard(12))[5:300]
    data = region(chunks)
    data = with_location(data, 20, 0, 1)
    data = with_location(data, 21, 1, 1)
    data = with_location(data, 22, 4, 0)
    data = with_location(data, 23, 4000, 1)
    data = with_location(data, 24, 3, 255)
    record = scan(tmp_path, data, wanted)
    faulty = {f.chunk.cx for f in record.looked.faults if f.chunk is not None}
    assert faulty >= {8, 9, 10, 20, 21, 22, 23}
    assert faulty.isdisjoint({0, 1, 2, 3, 4, 5, 6, 7, 13})
    assert scan(tmp_path, data[:-4090], wanted).looked.status[13] == SlotStatus.UNREADABLE


def test_a_wanted_block_is_found_among_chunks_without(tmp_path: Path) -> None:
    chunks = {x: yard(x) for x in range(12)}
    chunks[9] = yard(9, sections=[section(0, ["minecraft:air", "quayworks:keel"], {17: 1})])
    record = scan(tmp_path, region({x: stored(d) for x, d in chunks.items()}), BY_BLOCK)
    assert record.cells[:, :3].tolist() == [[145, 0, 1]]
    assert record.looked.status.count(SlotStatus.SIFTED) == 11


def test_chunks_larger_than_any_before_are_no_fault(tmp_path: Path) -> None:
    sizes = [100, 100, 100, 100, 200, 70_000, 300_000, 100]
    chunks = {
        x: stored(yard(x, more={"sand": byte_array([7] * size)})) for x, size in enumerate(sizes)
    }
    record = scan(tmp_path, region(chunks), BY_BLOCK)
    assert record.looked.status[:8] == bytes([SlotStatus.SIFTED]) * 8
    assert record.looked.faults == ()


@pytest.mark.parametrize("save", [*SAVES, "twoolie-nbt/damaged"])
def test_real_regions_give_the_same_either_way(save: str) -> None:
    if not WORLDS.is_dir():
        pytest.skip("needs the real saves in ../shared/worlds beside the project")
    wanted = [
        Wanted({}),
        Wanted({"minecraft:chest": (("Items", 0, "Count"),)}),
        Wanted({}, frozenset({"minecraft:iron_ore", "quayworks:keel"})),
        Wanted({}, frozenset({"quayworks:keel"}), namespaces=frozenset({"quayworks"})),
    ]
    for file in locate_save(WORLDS / save).regions:
        for one in wanted:
            quick = scan_region(file, one, Limits())
            assert quick == scan_region(file, one, Limits(), quick=False)


@pytest.mark.parametrize("wanted", BOTH)
def test_damaged_regions_give_the_same_either_way(tmp_path: Path, wanted: Wanted) -> None:
    for damage in iter_corpus():
        scan(tmp_path, damage.data, wanted)


names = st.sampled_from(["Status", "xPos", "zPos", "DataVersion", "block_entities", "a", "Level"])
numbers = st.integers(-3, 3)
values = st.recursive(
    st.one_of(
        st.builds(integer, numbers),
        st.builds(byte, numbers),
        st.builds(long, numbers),
        st.builds(text, st.sampled_from(["minecraft:full", "minecraft:features", "", "x"])),
        st.builds(long_array, st.lists(numbers, max_size=3)),
        st.builds(byte_array, st.lists(numbers, max_size=3)),
        st.just(list_of()),
        st.just(list_of(entity("quayworks:bollard", 1, 1, 1))),
        st.just(list_of(palette_entry("quayworks:keel"))),
        st.just(list_of(integer(1), integer(2))),
    ),
    lambda inner: st.builds(compound_of, st.dictionaries(names, inner, max_size=3)),
    max_leaves=4,
)
roots = st.dictionaries(names, values, max_size=6).map(compound_of).map(tree)


@st.composite
def regions(draw: st.DrawFn) -> bytes:
    """A region of a few sorts of chunk, some of them altered in a byte or cut short."""
    sorts = [leading(1, {}), *draw(st.lists(roots, min_size=1, max_size=3))]
    chunks = {}
    for slot in range(12):
        data = bytearray(draw(st.sampled_from(sorts)))
        if draw(st.booleans()):
            data[draw(st.integers(0, min(len(data), 90) - 1))] = draw(st.integers(0, 255))
        # Padded, so that most are longer than the first piece of them.
        whole = bytes(data) + bytes(noise(slot, 300)[n] & 255 for n in range(300))
        chunks[slot] = stored(whole, draw(st.sampled_from([2, 2, 2, 2, 1, 3])))
    return region(chunks)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=regions(), wanted=st.sampled_from(BOTH))
def test_regions_of_any_chunks_give_the_same_either_way(data: bytes, wanted: Wanted) -> None:
    with tempfile.TemporaryDirectory() as folder:
        scan(Path(folder), data, wanted)


def test_a_checksum_that_does_not_fit_is_found_either_way(tmp_path: Path) -> None:
    chunks = {x: stored(yard(x)) for x in range(8)}
    payload = bytearray(zlib.compress(yard(6)))
    payload[-1] ^= 1
    chunks[6] = struct.pack(">iB", len(payload) + 1, 2) + payload
    record = scan(tmp_path, region(chunks), BY_BLOCK)
    assert [f.reason for f in record.looked.faults] == ["bad-zlib-stream"]
    # By the beginning alone it cannot be seen.
    assert scan(tmp_path, region(chunks)).looked.faults == ()
