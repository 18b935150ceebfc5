"""The inventory: every entry of finished chunks, and the ranges of what they store."""

from __future__ import annotations

import math
import struct
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest

from analyzer.base.block import parse_block_state
from analyzer.base.limits import Limits
from analyzer.base.place import Block
from analyzer.save.files.locate import locate_save
from analyzer.save.inventory.fields import FieldTally
from analyzer.save.inventory.inventory import EntityRow, FieldRange, Inventory
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.nbt.walker import Cursor
from analyzer.save.scan.scan import SlotStatus
from tests.save.chunks import (
    LEVEL_VERSION,
    chunk_tree,
    entity,
    region,
    region_file,
    section,
    stored,
)
from tests.save.nbt_bytes import (
    Tag,
    byte,
    byte_array,
    compound,
    double,
    integer,
    list_of,
    long,
    long_array,
    single,
    text,
)

SHAFT = "quayworks:shaft[axis=x]"


def inventory(folder: Path, *chunks: bytes) -> Inventory:
    region_file(folder / "region", region({n: stored(chunk) for n, chunk in enumerate(chunks)}))
    return take_inventory(locate_save(folder))


def test_stale_and_duplicate_entries_and_those_out_of_place_are_listed(tmp_path: Path) -> None:
    entities = [
        entity("quayworks:shaft", 1, 0, 0),
        entity("quayworks:shaft", 0, 0, 0),
        entity("quayworks:bollard", 1, 0, 0),
        entity("quayworks:shaft", 100, 5, 0),
        compound(id=text("quayworks:lost")),
    ]
    found = inventory(
        tmp_path,
        chunk_tree(
            0, 0, sections=[section(0, ["minecraft:air", SHAFT], {0: 1})], entities=entities
        ),
    )
    air, shaft = parse_block_state("minecraft:air"), parse_block_state(SHAFT)
    assert found.states == (air, shaft)
    assert found.rows == (
        EntityRow(0, Block(0, 0, 0), "quayworks:shaft", 1),
        EntityRow(0, Block(1, 0, 0), "quayworks:bollard", 0),
        EntityRow(0, Block(1, 0, 0), "quayworks:shaft", 0),
        EntityRow(0, Block(100, 5, 0), "quayworks:shaft", -1),
    )


def test_unfinished_chunks_are_left_out_and_old_ones_are_counted_apart(tmp_path: Path) -> None:
    shaft = [entity("quayworks:shaft", 16, 1, 1)]
    old = compound(Y=byte(0), Blocks=byte_array([0] * 4096))
    found = inventory(
        tmp_path,
        chunk_tree(0, 0),
        chunk_tree(1, 0, status="minecraft:light", entities=shaft),
        chunk_tree(2, 0, version=1343, entities=[entity("Chest", 33, 1, 1)] * 2, sections=[old]),
        chunk_tree(3, 0, version=LEVEL_VERSION, status="full"),
    )
    assert found.rows == ()
    assert found.older == (("Chest", 2),)
    assert found.facts.data_versions == (1343, LEVEL_VERSION, 3955)
    counts = found.coverage.counts()
    assert (counts[SlotStatus.READ], counts[SlotStatus.UNFINISHED], counts[SlotStatus.OLD]) == (
        2,
        1,
        1,
    )


def test_a_chunk_whose_blocks_make_no_sense_is_unreadable_as_a_whole(tmp_path: Path) -> None:
    broken = compound(Y=byte(0), block_states=compound(data=long_array([0] * 256)))
    entities = [entity("quayworks:shaft", 0, 100, 0), entity("quayworks:shaft", 0, 1, 0)]
    found = inventory(tmp_path, chunk_tree(0, 0, sections=[broken], entities=entities))
    assert found.rows == ()
    assert found.fields == ()
    assert [fault.reason for fault in found.coverage.faults] == ["bad-palette"]


def test_an_empty_save_has_an_empty_inventory(tmp_path: Path) -> None:
    found = inventory(tmp_path)
    assert (found.rows, found.states, found.fields, found.older) == ((), (), (), ())


def test_an_executor_makes_no_difference_to_the_inventory(tmp_path: Path) -> None:
    for rx in range(3):
        chunk = chunk_tree(
            32 * rx, 0, entities=[entity("quayworks:shaft", 512 * rx, 1, 1, Load=integer(rx))]
        )
        region_file(tmp_path / "region", region({0: stored(chunk)}), rx=rx)
    files = locate_save(tmp_path)
    alone = take_inventory(files)
    with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as pool:
        together = take_inventory(files, executor=pool)
    assert vars(alone).keys() == vars(together).keys()
    for name in ("dimensions", "rows", "states", "fields", "older", "facts"):
        assert getattr(alone, name) == getattr(together, name)
    assert alone.coverage.regions == together.coverage.regions
    assert [(f.least, f.greatest) for f in alone.fields] == [(0, 2)]


def ranges(*entities: Tag) -> dict[str, tuple[int | float, int | float]]:
    tally = FieldTally()
    for found in entities:
        tally.add_entity("quayworks:shaft", Cursor(found.body, Limits()))
    return {found.path: (found.least, found.greatest) for found in tally.ranges()}


def test_every_number_has_a_path_and_a_range() -> None:
    first = compound(
        id=text("quayworks:shaft"),
        x=integer(1),
        y=integer(2),
        z=integer(3),
        Speed=single(0.1),
        Lit=byte(1),
        Ropes=byte_array([3, -4, 5]),
        None_=byte_array([]),
        Drive=compound(x=long(-(2**40)), Gears=list_of(compound(Teeth=integer(12)))),
        Grid=list_of(list_of(double(0.5)), list_of(double(-1.5))),
    )
    second = compound(
        Speed=single(8), Lit=byte(0), Drive=compound(Gears=list_of(compound(Teeth=integer(24))))
    )
    assert ranges(first, second) == {
        "Drive.Gears[].Teeth": (12, 24),
        "Drive.x": (-(2**40), -(2**40)),
        "Grid[][]": (-1.5, 0.5),
        "Lit": (0, 1),
        "Ropes[]": (-4, 5),
        "Speed": (0.1, 8.0),
    }


def test_a_path_through_a_list_has_no_steps_for_a_catalogue() -> None:
    tally = FieldTally()
    body = compound(Drive=compound(Speed=integer(4)), Loads=list_of(integer(7))).body
    tally.add_entity("quayworks:shaft", Cursor(body, Limits()))
    assert tally.ranges() == (
        FieldRange("quayworks:shaft", "Drive.Speed", ("Drive", "Speed"), 4, 4),
        FieldRange("quayworks:shaft", "Loads[]", None, 7, 7),
    )


@pytest.mark.parametrize("odd", [math.nan, math.inf, -math.inf])
def test_what_is_no_finite_number_has_no_range(odd: float) -> None:
    assert ranges(compound(Speed=single(odd), Fine=Tag(6, struct.pack(">d", odd)))) == {}


def test_what_a_hostile_save_makes_the_inventory_remember_is_bounded() -> None:
    many = compound(**{f"k{number:05}": byte(1) for number in range(5000)})
    assert len(ranges(many)) == 1000
    deep = integer(1)
    for _ in range(400):
        deep = compound(a=deep)
    assert ranges(deep) == {}
    assert ranges(compound(**{"n" * 300: byte(1), "n" * 255: byte(1)})) == {"n" * 255: (1, 1)}


def test_tallies_add_up_in_any_order() -> None:
    def tally(value: int) -> FieldTally:
        made = FieldTally()
        made.add_entity("quayworks:shaft", Cursor(compound(Load=integer(value)).body, Limits()))
        return made

    one, other = tally(3), tally(-5)
    one.add_tally(tally(-5))
    other.add_tally(tally(3))
    assert one.ranges() == other.ranges()
    assert (one.ranges()[0].least, one.ranges()[0].greatest) == (-5, 3)
