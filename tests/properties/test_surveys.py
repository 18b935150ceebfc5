"""A survey lists every block entity that was written, and the ranges of its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import nbtlib
from hypothesis import given

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.demo.content import Placement
from analyzer.demo.nbt import to_tag
from analyzer.demo.write import write_save
from analyzer.save.files.locate import locate_save
from analyzer.save.inventory.inventory import Inventory
from analyzer.save.inventory.survey import take_inventory
from tests.properties.examples import few, holds, new_folder
from tests.properties.strategies_data import SINGLE_DIGITS
from tests.properties.strategies_places import chunk_of
from tests.properties.strategies_saves import World, worlds
from tests.support.check import checked

EXAMPLES = 50
LISTED = holds(
    "Properties: saves",
    "P6",
    "block entities with compounds, lists and arrays of every kind of number, surveyed",
    "a row for each that was written, with its block; each field's least and greatest number",
    EXAMPLES,
)
#: Dimension, place, id, and the block there.
Row = tuple[str, Block, str, BlockState]
#: From a block entity to a number: keys, and None for any element of a list or array.
Path = tuple[str | None, ...]
#: The id and path of a field, and its least and greatest number.
Ranges = dict[tuple[str, Path], tuple[float, float]]


@checked(LISTED)
@few(EXAMPLES)
@given(worlds())
def test_a_survey_lists_what_was_written(world: World) -> None:
    with new_folder() as folder:
        write_save(folder, world.dimensions, manner=world.manner)
        inventory = take_inventory(locate_save(folder))
    rows, ranges = _plain_survey(world)
    assert _rows(inventory) == sorted(rows)
    listed = [(field.id, field.path, field.least, field.greatest) for field in inventory.fields]
    assert listed == sorted(listed, key=lambda field: field[:2])
    expected = [(name, _text(path), *extremes) for (name, path), extremes in ranges.items()]
    assert sorted(listed) == sorted(expected)


def _rows(inventory: Inventory) -> list[Row]:
    return [
        (inventory.dimensions[row.dimension], row.at, row.id, inventory.states[row.state])
        for row in inventory.rows
    ]


def _plain_survey(world: World) -> tuple[list[Row], Ranges]:
    rows: list[Row] = []
    ranges: Ranges = {}
    for dimension, content in world.dimensions.items():
        states = {placement.at: placement.state for placement in content.placements}
        for placement in content.placements:
            if placement.entity is None or chunk_of(placement.at) in content.unfinished:
                continue
            name = placement.entity["id"]
            rows.append((dimension, placement.at, name, states[placement.at]))
            for path, number in _numbers_of(placement, marked=world.manner.marks_packed_entities):
                least, greatest = ranges.get((name, path), (number, number))
                ranges[name, path] = min(least, number), max(greatest, number)
    return rows, ranges


def _numbers_of(placement: Placement, *, marked: bool) -> Iterator[tuple[Path, float]]:
    if marked:
        yield ("keepPacked",), 0
    for key, tag in to_tag(placement.entity).items():
        yield from _numbers((key,), tag)


def _numbers(path: Path, tag: Any) -> Iterator[tuple[Path, float]]:
    if isinstance(tag, nbtlib.Compound):
        for key, inner in tag.items():
            yield from _numbers((*path, key), inner)
    elif isinstance(tag, nbtlib.List):
        for inner in tag:
            yield from _numbers((*path, None), inner)
    elif isinstance(tag, nbtlib.Array):
        for number in tag.tolist():
            yield (*path, None), number
    elif isinstance(tag, nbtlib.Float):
        yield path, float(f"{tag:.{SINGLE_DIGITS}g}")
    elif tag.tag_id <= 6 and math.isfinite(tag):
        yield path, float(tag) if tag.tag_id == 6 else int(tag)


def _text(path: Path) -> str:
    return "".join("[]" if step is None else f".{step}" for step in path).removeprefix(".")
