"""A region of which an earlier record is known gives what it would without, and parses less."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.demo.content import Content, place
from analyzer.demo.manner import Compression, Manner
from analyzer.demo.write import write_save
from analyzer.save.files.locate import locate_save
from analyzer.save.files.region import Payload
from analyzer.save.files.save_files import RegionFile
from analyzer.save.reading.pieces import digest_of
from analyzer.save.scan import gather, scan_region
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.record_codec import RecordDecoder, encode_record
from analyzer.save.scan.wanted import Wanted
from analyzer.save.sift.whole_read import WholeRead
from tests.support.demo import demo_save

WANTED = Wanted(
    {"quayworks:wheel": (("Speed",), ("Torque",)), "quayworks:gear": ()},
    blocks=frozenset({"quayworks:oak"}),
    entity_blocks=frozenset({"quayworks:wheel"}),
    namespaces=frozenset({"quayworks"}),
    known_blocks=frozenset({"quayworks:wheel", "quayworks:gear", "quayworks:oak"}),
)
KINDS = ("wheel", "bare", "gear", "oak", "thole", "chest", "stray", "nameless")
PLACES = [Block(16 * cx + 3, y, 16 * cz + 5) for cx in (1, 2) for cz in (0, 7) for y in (3, 64, 70)]


def placement(kind: str, at: Block, number: int):
    name, data = {
        "wheel": (f"quayworks:wheel[axis={'xyz'[number % 3]}]", {"Speed": number, "Torque": 0.5}),
        "bare": ("quayworks:wheel[axis=y]", None),
        "gear": ("quayworks:gear", {}),
        "oak": ("quayworks:oak", None),
        "thole": (f"quayworks:thole_{number % 4}", None),
        "chest": ("minecraft:chest", {"id": f"chest:\x00{number % 2}"}),
        "stray": ("quayworks:gear", {"x": at.x + 100}),
        "nameless": ("quayworks:gear", {"id": 7}),
    }[kind]
    if data is None:
        return place(at, name)
    return place(at, name, {"id": name.partition("[")[0]} | data)


contents = st.dictionaries(
    st.sampled_from(PLACES), st.tuples(st.sampled_from(KINDS), st.integers(0, 9)), max_size=10
)
manners = st.builds(
    Manner,
    data_version=st.sampled_from([2566, 3955]),
    compression=st.sampled_from(Compression),
    external=st.booleans(),
    ring_chunks=st.just(0),
)


def region_of(folder: Path, content, manner: Manner = Manner(ring_chunks=0)) -> RegionFile:  # noqa: B008
    placements = tuple(placement(kind, at, number) for at, (kind, number) in content.items())
    empty = frozenset({Chunk(9, 9)})
    write_save(folder, {"minecraft:overworld": Content(placements, empty=empty)}, manner=manner)
    (region,) = locate_save(folder).regions
    return region


def scanned(region: RegionFile, former: ScanRecord | None = None) -> ScanRecord:
    return scan_region.scan_region(region, WANTED, Limits(), former=former)


@settings(deadline=None)
@given(contents, contents, manners, st.data())
def test_whatever_was_there_before_the_record_is_the_same(
    tmp_path_factory: pytest.TempPathFactory, before, after, manner: Manner, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("pieces")
    some = data.draw(st.sets(st.sampled_from(PLACES)))
    after = {at: before[at] if at in before and at in some else one for at, one in after.items()}
    former = scanned(region_of(folder / "before", before, manner))
    region = region_of(folder / "after", after, manner)
    fresh = scanned(region)
    assert scanned(region, former) == fresh
    # And once more, from what was restored.
    assert scanned(region, scanned(region, former)) == fresh
    assert scanned(region, fresh) == fresh


def test_only_chunks_with_other_bytes_are_parsed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = {at: ("wheel", number) for number, at in enumerate(PLACES)}
    former = scanned(region_of(tmp_path / "before", content))
    assert len(former.pieces) == 4
    content[PLACES[0]] = ("gear", 0)
    region = region_of(tmp_path / "after", content)
    read, parsed = WholeRead.read, []
    monkeypatch.setattr(
        WholeRead,
        "read",
        lambda self, stream, chunk: (parsed.append(chunk), read(self, stream, chunk))[1],
    )
    record = scanned(region, former)
    assert [chunk for chunk in parsed if chunk != (9, 9)] == [(1, 0)]
    parsed.clear()
    assert scanned(region, record) == record == scanned(region, former)
    assert [chunk for chunk in parsed if chunk != (9, 9)] == [(1, 0)]


def test_the_same_bytes_in_another_slot_are_parsed(tmp_path: Path) -> None:
    region = region_of(tmp_path, {PLACES[0]: ("wheel", 1)})
    record = scanned(region)
    (piece,) = record.pieces
    moved = dataclasses.replace(piece, slot=piece.slot + 1)
    assert scanned(region, dataclasses.replace(record, pieces=(moved,))) == record


def test_another_compression_of_the_same_bytes_is_another_payload() -> None:
    digests = {digest_of(Payload(kind, data)) for kind in range(1, 5) for data in (b"", b"a")}
    assert len(digests) == 8


def test_pieces_come_back_from_bytes_as_they_were(tmp_path: Path) -> None:
    content = {at: (KINDS[n % len(KINDS)], n) for n, at in enumerate(PLACES)}
    region = region_of(tmp_path, content)
    record = scanned(region)
    assert record.pieces
    data, decoder = encode_record(record), RecordDecoder(WANTED)
    assert decoder.decode(data, region, pieces=True) == record
    assert decoder.decode(data, region) == dataclasses.replace(record, pieces=())


@pytest.mark.parametrize("column", range(3))
def test_pieces_of_rows_that_are_not_there_are_refused(tmp_path: Path, column: int) -> None:
    content = dict.fromkeys(PLACES, ("wheel", 1)) | {PLACES[0]: ("bare", 1)}
    region = region_of(tmp_path, content)
    record = scanned(region)
    piece = record.pieces[-1]
    for field, by in (("start", 1000), ("stop", 1000), ("start", -1000), ("stop", -1000)):
        extent = list(getattr(piece, field))
        extent[column] += by
        wrong = dataclasses.replace(piece, **{field: type(piece.start)(*extent)})
        data = encode_record(dataclasses.replace(record, pieces=(wrong,)))
        with pytest.raises(ValueError, match=r".+"):
            RecordDecoder(WANTED).decode(data, region, pieces=True)


def test_where_bounds_cut_off_what_is_kept_no_piece_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = {at: ("bare" if at.y == 3 else "wheel", 1) for at in PLACES}
    region = region_of(tmp_path, content)
    whole = scanned(region)
    monkeypatch.setattr(gather, "_MOST_BARE", 2)
    cut = scanned(region)
    assert len(cut.pieces) == 1
    assert len(cut.bare) == 2
    assert scanned(region, cut) == scanned(region, whole) == cut
    monkeypatch.undo()
    monkeypatch.setattr(gather, "MOST_NAMES", -1)
    assert scanned(region).pieces == ()


def test_every_region_of_the_demo_save_gives_the_same_from_its_own_record() -> None:
    wanted = Wanted({"quayworks:line_shaft": (), "quayworks:tide_wheel": (("Speed",),)})
    for region in locate_save(demo_save()).regions:
        fresh = scan_region.scan_region(region, wanted, Limits())
        assert scan_region.scan_region(region, wanted, Limits(), former=fresh) == fresh
