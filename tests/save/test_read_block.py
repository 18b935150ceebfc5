"""What stands at one position of a save."""

from __future__ import annotations

from pathlib import Path

import pytest

from analyzer.base.block import BlockState, parse_block_state
from analyzer.base.place import Block
from analyzer.demo.content import Placement
from analyzer.save.chunk.slot_status import SlotStatus
from analyzer.save.files.locate import locate_save
from analyzer.save.reading.block_there import BlockThere
from analyzer.save.reading.read_block import read_block
from tests.support.demo import demo_save
from tests.support.saves import OVERWORLD, save_of

AIR = BlockState("minecraft:air")
BARREL = parse_block_state("minecraft:barrel[facing=up]")


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    return save_of(tmp_path, [Placement(Block(-5, 64, 700), BARREL, {"id": "minecraft:barrel"})])


def test_a_block_is_read_with_its_properties_and_its_block_entity(yard: Path) -> None:
    there = read_block(locate_save(yard), OVERWORLD, Block(-5, 64, 700))
    assert there == BlockThere(SlotStatus.READ, BARREL, "minecraft:barrel")


@pytest.mark.parametrize("at", [Block(-6, 64, 700), Block(-5, 3000, 700), Block(-5, -3000, 700)])
def test_where_nothing_stands_there_is_air(yard: Path, at: Block) -> None:
    assert read_block(locate_save(yard), OVERWORLD, at) == BlockThere(SlotStatus.READ, AIR)


@pytest.mark.parametrize("at", [Block(2000, 64, 0), Block(-200, 64, 700), Block(2**31 - 1, 0, 0)])
def test_a_chunk_that_was_never_made_is_absent(yard: Path, at: Block) -> None:
    assert read_block(locate_save(yard), OVERWORLD, at) == BlockThere(SlotStatus.ABSENT)


def test_a_dimension_that_is_not_there_is_absent(yard: Path) -> None:
    assert read_block(locate_save(yard), "a:b", Block(0, 0, 0)).status is SlotStatus.ABSENT


def test_a_damaged_chunk_gives_its_reason() -> None:
    there = read_block(locate_save(demo_save()), OVERWORLD, Block(528, 64, 3))
    assert (there.status, there.block) == (SlotStatus.UNREADABLE, None)
    assert there.fault is not None
    assert there.fault.reason == "bad-zlib-stream"


def test_a_region_that_is_no_file_gives_its_reason(yard: Path) -> None:
    (region,) = yard.rglob("r.-1.1.mca")
    region.unlink()
    region.mkdir()
    there = read_block(locate_save(yard), OVERWORLD, Block(-5, 64, 700))
    assert there.status in (SlotStatus.UNREADABLE, SlotStatus.ABSENT)
