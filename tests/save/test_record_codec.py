"""A record comes back from its bytes as it was, and other bytes give none that is unsound."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.block import BlockState
from analyzer.base.place import Chunk
from analyzer.save.chunk.leftovers import Leftovers
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.fault import Fault
from analyzer.save.files.save_files import RegionFile
from analyzer.save.reading.looked import RegionSlots
from analyzer.save.reading.pieces import ChunkPiece, Extent
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.record_codec import RecordDecoder, encode_record, is_lasting
from analyzer.save.scan.wanted import Wanted

REGION = RegionFile("quayworks:tide", 1, -2, "region/r.1.-2.mca", Path("r.1.-2.mca"), Path())
WANTED = Wanted({"quayworks:wheel": (("Speed",), ("Drive", 0))})
STATES = (
    BlockState("quayworks:wheel", (("axis", "x"), ("lit", "true"))),
    BlockState("quayworks:\x00odd\ud800\u20ac", ()),
)
FAULTS = (
    Fault(REGION.dimension, REGION.file, Chunk(32, -64), "bad-nbt", 'at "5"', 8192),
    Fault(REGION.dimension, REGION.file, Chunk(33, -64), "external-missing", "it is", None),
)


def table(dtype: str, *rows: object) -> bytes:
    return np.array(rows, dtype).tobytes()


RECORD = ScanRecord(
    looked=RegionSlots(REGION, (bytes(SlotStatus) * 147)[:1024], FAULTS, (2844, 3955)),
    cell_bytes=table("<i4", (512, -64, -1024, 0, 0, 3955), (513, 319, -1000, 1, -1, -(2**31))),
    reading_bytes=table("<i4", (0, 0, 3), (0, 1, 6)),
    integer_bytes=table("<i8", -(2**63), 0),
    real_bytes=table("<f8", 0.0, float("nan")),
    bare_bytes=table("<i4", (514, 0, -999, 1)),
    states=STATES,
    leftovers=Leftovers((("minecraft:chest", 3), ("\ud800", 1)), 1, 2, 3, 4),
    strangers=(("quayworks:thole", 2),),
    pieces=(
        ChunkPiece(
            slot=7,
            digest=b"digest",
            data_version=3955,
            start=Extent(0, 0, 0),
            stop=Extent(1, 2, 1),
            leftovers=Leftovers((("minecraft:chest", 1),), 1, 0, 2, 0),
            strangers=(("quayworks:oar", "quayworks:thole"), ("quayworks:thole",)),
        ),
        ChunkPiece(8, b"", None, Extent(1, 2, 1), Extent(2, 2, 1), Leftovers(), ()),
    ),
)


def decoded(data: bytes, wanted: Wanted = WANTED, region: RegionFile = REGION) -> ScanRecord:
    return RecordDecoder(wanted).decode(data, region, pieces=True)


def test_a_record_comes_back_as_it_was() -> None:
    assert decoded(encode_record(RECORD)) == RECORD


def test_an_empty_record_comes_back_as_it_was() -> None:
    slots = RegionSlots(REGION, bytes(1024), (), ())
    empty = ScanRecord(slots, b"", b"", b"", b"", b"", (), Leftovers(), ())
    assert decoded(encode_record(empty), Wanted({})) == empty


def test_no_field_is_forgotten() -> None:
    names = {field.name for field in dataclasses.fields(ScanRecord)}
    assert names == set(RECORD.__dict__)
    assert all(getattr(RECORD, name) for name in names)
    assert all(RECORD.looked.__dict__.values())
    assert all(RECORD.leftovers.__dict__.values())


def test_it_is_a_record_of_whoever_asks() -> None:
    other = dataclasses.replace(REGION, dimension="quayworks:ebb", file="r.1.-2.mca")
    record = decoded(encode_record(RECORD), region=other)
    assert record.looked.region == other
    assert {(one.dimension, one.file) for one in record.looked.faults} == {
        ("quayworks:ebb", "r.1.-2.mca")
    }


def test_equal_states_of_several_records_are_one() -> None:
    decoder, data = RecordDecoder(WANTED), encode_record(RECORD)
    one, other = decoder.decode(data, REGION), decoder.decode(data, REGION)
    assert one.states[0] is other.states[0]


def test_many_records_come_back_as_one_by_one() -> None:
    slots = RegionSlots(REGION, bytes(1024), (), ())
    other = dataclasses.replace(REGION, rx=5, file="region/r.5.-2.mca")
    some = [
        RECORD,
        ScanRecord(slots, b"", b"", b"", b"", b"", (), Leftovers(), ()),
        dataclasses.replace(RECORD, states=STATES[::-1]),
    ]
    kept = [(where, encode_record(one)) for one in some for where in (REGION, other)]
    found = RecordDecoder(WANTED).decode_each(kept)
    assert found == [RecordDecoder(WANTED).decode(data, where) for where, data in kept]
    assert RecordDecoder(WANTED).decode_each([]) == []


@pytest.mark.parametrize(
    "wrong", [b"", b"no record", encode_record(RECORD)[:-1], "a state", "a row"]
)
def test_of_many_records_only_those_that_make_no_sense_are_refused(wrong: bytes | str) -> None:
    changes = {"a state": {"states": STATES[:1]}, "a row": {"cell_bytes": RECORD.cell_bytes[:-4]}}
    data = encode_record(RECORD)
    if isinstance(wrong, str):
        wrong = encode_record(dataclasses.replace(RECORD, **changes[wrong]))  # type: ignore[arg-type]
    found = RecordDecoder(WANTED).decode_each([(REGION, data), (REGION, wrong), (REGION, data)])
    whole = dataclasses.replace(RECORD, pieces=())
    assert found == [whole, None, whole]


@pytest.mark.parametrize(
    "change",
    [
        {"cell_bytes": table("<i4", (0, 0, 0, 2, 0, 0))},
        {"cell_bytes": table("<i4", (0, 0, 0, -1, 0, 0))},
        {"cell_bytes": table("<i4", (0, 0, 0, 0, 1, 0))},
        {"cell_bytes": table("<i4", (0, 0, 0, 0, -2, 0))},
        {"cell_bytes": RECORD.cell_bytes[:-4]},
        {"cell_bytes": RECORD.cell_bytes[:-1]},
        {"cell_bytes": b""},
        {"reading_bytes": table("<i4", (2, 0, 3), (0, 0, 3))},
        {"reading_bytes": table("<i4", (-1, 0, 3), (0, 0, 3))},
        {"reading_bytes": table("<i4", (0, 2, 3), (0, 0, 3))},
        {"reading_bytes": table("<i4", (0, -1, 3), (0, 0, 3))},
        {"reading_bytes": table("<i4", (0, 0, 13), (0, 0, 3))},
        {"reading_bytes": b""},
        {"integer_bytes": b""},
        {"real_bytes": bytes(24)},
        {"bare_bytes": table("<i4", (0, 0, 0, 2))},
        {"bare_bytes": b"\0"},
        {"states": ()},
        {"looked": dataclasses.replace(RECORD.looked, status=b"\7" * 1024)},
        {"looked": dataclasses.replace(RECORD.looked, status=b"")},
        {"looked": dataclasses.replace(RECORD.looked, data_versions=(1.5,))},
        {"looked": dataclasses.replace(RECORD.looked, data_versions=(True,))},
        {"strangers": (("a", -1),)},
        {"strangers": (("a", "b"),)},
        {"strangers": ((1, 1),)},
        {"strangers": (1,)},
        {"leftovers": Leftovers(duplicate=-1)},
        {"pieces": (dataclasses.replace(RECORD.pieces[0], slot=-1),)},
        {"pieces": (dataclasses.replace(RECORD.pieces[0], data_version="new"),)},
        {"pieces": (dataclasses.replace(RECORD.pieces[0], start=(0, 0)),)},
        {"pieces": (dataclasses.replace(RECORD.pieces[0], stop=Extent(0, 2, 1)),)},
        {"pieces": (dataclasses.replace(RECORD.pieces[0], strangers=((1,),)),)},
    ],
)
def test_a_record_that_makes_no_sense_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r".+"):
        decoded(encode_record(dataclasses.replace(RECORD, **change)))


def test_every_cut_record_is_refused() -> None:
    data = encode_record(RECORD)
    for size in range(len(data)):
        with pytest.raises(ValueError, match=r".+"):
            decoded(data[:size])


@given(st.binary(max_size=40), st.binary(max_size=200))
def test_other_bytes_are_refused(head: bytes, text: bytes) -> None:
    for data in (head, bytes(48 + 1024) + text, head.ljust(48, b"\0") + bytes(1024) + text):
        with pytest.raises(ValueError, match=r".+"):
            decoded(data)


@given(st.data())
def test_altered_bytes_give_no_other_error(data: st.DataObject) -> None:
    content = bytearray(encode_record(RECORD))
    for _ in range(data.draw(st.integers(1, 8))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    try:
        record = decoded(bytes(content))
    except ValueError:
        return
    assert len(record.looked.status) == 1024
    assert record.cells[:, 3].max(initial=-1) < len(record.states)


@pytest.mark.parametrize(
    ("reason", "chunk", "lasting"),
    [
        ("bad-nbt", Chunk(0, 0), True),
        ("external-missing", Chunk(0, 0), True),
        ("cannot-read", Chunk(0, 0), False),
        ("external-unreadable", Chunk(0, 0), False),
        ("link-leaves-save", Chunk(0, 0), False),
        ("cannot-open", None, False),
        ("worker-died", None, False),
    ],
)
def test_a_fault_that_may_be_gone_the_next_time_does_not_last(
    reason: str, chunk: Chunk | None, lasting: bool
) -> None:
    fault = Fault(REGION.dimension, REGION.file, chunk, reason, "")
    slots = dataclasses.replace(RECORD.looked, faults=(*FAULTS, fault))
    assert is_lasting(dataclasses.replace(RECORD, looked=slots)) is lasting
