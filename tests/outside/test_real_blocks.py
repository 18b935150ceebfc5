"""Blocks of real saves that are looked for by name, and a template made of their block entities."""

from __future__ import annotations

import gzip
import io
from collections import Counter
from pathlib import Path
from typing import Any

import nbtlib
import numpy as np
import pytest

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.demo.content import Placement
from analyzer.demo.template import write_template
from analyzer.save.files.locate import locate_save
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.scan.scan import Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.outside.judged_regions import WORLDS, held, inventory, needs_worlds, with_entities
from tests.outside.judged_saves import (
    REAL,
    Row,
    entities_of,
    indices_of,
    is_finished,
    judged,
    palette_of,
    parse,
    sections_of,
)
from tests.support.check import Check, checked

SUBJECT = "Real saves"
WHY = "positions and texts"
FEW_SAVES = ["prismarine-provider-anvil/1.13.2", "bluenbt/1.20.1"]
WITH = Check(
    SUBJECT,
    "REAL4",
    "blocks of three names in a save of 1.20.1, looked for in palettes",
    "found wherever a block entity stands on one, and no place twice",
    REAL,
    why=WHY,
)
BARE = Check(
    SUBJECT,
    "REAL5",
    "all blocks without a block entity of the names with one and of three more (torch, coal ore,"
    " iron ore), and all names but these, in saves of 1.13.2 and 1.20.1",
    "the same places, more than 100 in each; the same number of palettes a name",
    REAL,
    why=WHY,
)
TEMPLATE = Check(
    SUBJECT,
    "REAL6",
    "the block entities of two real saves, written as one structure template",
    "the survey of the template is that of the save, and the judge reads the same from both",
    REAL,
    why=WHY,
)
pytestmark = needs_worlds


@checked(WITH)
def test_blocks_are_found_by_name_where_the_judge_sees_block_entities() -> None:
    save = "bluenbt/1.20.1"
    blocks = {row[2] for row in judged(save).rows}
    some = frozenset(sorted(blocks)[:3])
    scan = scan_save(locate_save(WORLDS / save), Wanted({}, some))
    table = scan.candidates
    found = {
        (tuple(xyz), table.states[s].name)
        for xyz, s in zip(table.xyz.tolist(), table.state, strict=True)
    }
    assert found >= {(row[0], row[2]) for row in judged(save).rows if row[2] in some}
    assert len(found) == len(table)


@checked(BARE)
@pytest.mark.parametrize("save", FEW_SAVES)
def test_blocks_without_their_entity_and_names_are_what_the_judge_finds(save: str) -> None:
    # Of the names with an entity, and of some that never have one, all cells but those with one.
    names = frozenset(
        {row[2] for row in judged(save).rows}
        | {"minecraft:torch", "minecraft:coal_ore", "minecraft:iron_ore"}
    )
    places: list[tuple[tuple[int, int, int], str]] = []
    strangers: Counter[str] = Counter()
    for one in held(save):
        root = parse(one.data)
        if is_finished(root):
            entities = {(entity["x"], entity["y"], entity["z"]) for entity in entities_of(root)}
            for section in sections_of(root):
                found = {entry["Name"] for entry in palette_of(section)}
                strangers.update(found - names)
                if found & names:
                    places += [
                        row for row in _places(root, section, names) if row[0] not in entities
                    ]
    wanted = Wanted(
        {},
        every_byte=True,
        entity_blocks=names,
        namespaces=frozenset({"minecraft"}),
        known_blocks=names,
    )
    scan = scan_save(locate_save(WORLDS / save), wanted)
    states = scan.candidates.states
    assert [
        (tuple(xyz), states[state].name)
        for xyz, state in zip(scan.bare.xyz.tolist(), scan.bare.state.tolist(), strict=True)
    ] == sorted(places)
    assert len(places) > 100
    assert dict(scan.strangers) == strangers


def _places(
    root: Any, section: Any, names: frozenset[str]
) -> list[tuple[tuple[int, int, int], str]]:
    content = root.get("Level", root)
    corner = (16 * content["xPos"], 16 * section["Y"], 16 * content["zPos"])
    here = [entry["Name"] for entry in palette_of(section)]
    indices = indices_of(section, root["DataVersion"])
    cells = np.flatnonzero(np.isin(indices, [n for n, name in enumerate(here) if name in names]))
    return [
        (
            (corner[0] + cell % 16, corner[1] + cell // 256, corner[2] + cell // 16 % 16),
            here[indices[cell]],
        )
        for cell in cells.tolist()
    ]


@checked(TEMPLATE)
@pytest.mark.parametrize("save", FEW_SAVES)
def test_real_block_entities_are_the_same_in_a_template(tmp_path: Path, save: str) -> None:
    states = {row[0]: BlockState(*row[2:]) for row in judged(save).rows}
    placements = []
    for one in with_entities(save):
        for entity in entities_of(nbtlib.File.parse(io.BytesIO(one.data))):
            at = Block(int(entity["x"]), int(entity["y"]), int(entity["z"]))
            if at in states:
                placements.append(Placement(at, states[at], entity))
    write_template(tmp_path / "all.nbt", placements, corner=Block(0, 0, 0), data_version=3465)
    template = take_inventory(locate_save(tmp_path / "all.nbt"))
    whole = inventory(save)
    assert [row.at for row in template.rows] == [row.at for row in whole.rows]
    assert [row.id for row in template.rows] == [row.id for row in whole.rows]
    assert template.states == whole.states
    assert template.fields == whole.fields
    # The judge reads the file as anybody would, and finds the same.
    root = parse(gzip.decompress((tmp_path / "all.nbt").read_bytes()))
    assert sorted(_template_row(root, block) for block in root["blocks"]) == judged(save).rows


def _template_row(root: Any, block: Any) -> Row:
    x, y, z = block["pos"]
    entry = root["palette"][block["state"]]
    properties = tuple(sorted(entry.get("Properties", {}).items()))
    return (x, y, z), block["nbt"]["id"], entry["Name"], properties
