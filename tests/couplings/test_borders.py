"""Cuts and broken links of a full chunk beside chunks never made, counted cell by cell."""

from __future__ import annotations

import itertools

import pytest

from analyzer import audit_save
from analyzer.base.block import parse_block_state
from analyzer.base.place import Block
from analyzer.catalogue.load import load_catalogue_text
from analyzer.couplings.couplings import Break
from analyzer.demo.content import Placement
from analyzer.save.scan.scan import SlotStatus
from tests.cases.case import PLAIN
from tests.couplings.test_find import HEAD
from tests.support.saves import save_of

TYPE = """
[parts."sketch:{name}"]
role = "transmission"
entity = {entity}
pose = {{axis = "axis"}}
fits = "{name}"
{more}
"""
#: What each type aims at, in the axes: along its own, and the two across it.
AIMS = {
    "rod": {(1, 0, 0), (-1, 0, 0)},
    "near": {(0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)},
    "far": {(0, one, two) for one in (-1, 1) for two in (-1, 1)},
    "crown": {(one, *two) for one in (-1, 1) for two in ((1, 0), (-1, 0), (0, 1), (0, -1))},
    "spare": {(0, 0, 0)},
    "chain": {(2, 1, 0)},
}
MORE = {
    "rod": "ends = {front = 1, back = -1}",
    "near": 'rim = {kind = "near", teeth = 12, placements = ["beside"]}',
    "far": 'rim = {kind = "far", teeth = 24, placements = ["diagonal"]}',
    "crown": 'rim = {kind = "far", teeth = 24, placements = ["crossed"]}',
    "spare": "",
    "chain": 'rim = {kind = "far", teeth = 24, placements = ["crossed"]}\n'
    'meets = [{at = [2, 1, 0], types = ["sketch:chain"], ratio = 1}]',
}
FIRST = (32, 64, 80)


def turned(step, axis):
    """Carry a step in the own frame of a part with an axis alone into the world's."""
    front, top, right = step
    return {"x": (front, top, right), "y": (right, front, top), "z": (-right, top, front)}[axis]


def audited(folder, types, blocks, data=None):
    text = HEAD + "".join(types)
    placements = [
        Placement(Block(*at), parse_block_state(state), (data or {}).get(at))
        for at, state in blocks.items()
    ]
    save = save_of(folder, placements, manner=PLAIN)
    return audit_save(save, catalogues=load_catalogue_text(text, "sketch"))


@pytest.mark.parametrize("axis", ["x", "y", "z"])
@pytest.mark.parametrize("name", AIMS)
def test_a_part_is_cut_exactly_where_it_aims_out_of_its_chunk(tmp_path, name, axis):
    cells = [
        (FIRST[0] + x, FIRST[1], FIRST[2] + z) for x, z in itertools.product(range(16), range(16))
    ]
    types = [TYPE.format(name=one, entity="false", more=more) for one, more in MORE.items()]
    audit = audited(tmp_path, types, dict.fromkeys(cells, f"sketch:{name}[axis={axis}]"))
    aims = AIMS[name] | (AIMS["crown"] if name == "chain" else set())
    expected = {
        (cell, there)
        for cell in cells
        for step in aims
        for there in [tuple(a + b for a, b in zip(cell, turned(step, axis), strict=True))]
        if there[0] >> 4 != FIRST[0] >> 4 or there[2] >> 4 != FIRST[2] >> 4
    }
    cuts = audit.couplings.cuts
    found = [
        (tuple(audit.parts.block_at(part)), tuple(towards))
        for part, towards in zip(cuts.part.tolist(), cuts.towards.tolist(), strict=True)
    ]
    assert sorted(found) == sorted(expected)
    assert set(cuts.status.tolist()) <= {SlotStatus.ABSENT}


@pytest.mark.parametrize(
    ("partner", "broken"),
    [
        ((40, 70, 90), True),
        ((31, 64, 85), False),
        ((48, 64, 85), False),
        ((40, 64, 79), False),
        ((40, 64, 96), False),
    ],
)
def test_a_belt_to_nothing_is_broken_in_a_chunk_that_was_read_and_cut_in_others(
    tmp_path, partner, broken
):
    link = 'link = {partner = {stored = "To", form = "list"}}'
    at = (40, 64, 85)
    audit = audited(
        tmp_path,
        [TYPE.format(name="pulley", entity='["sketch:pulley"]', more=link)],
        {at: "sketch:pulley[axis=x]"},
        {at: {"id": "sketch:pulley", "To": list(partner)}},
    )
    found, cuts = audit.couplings.broken, audit.couplings.cuts
    there = [list(partner)]
    assert found.towards.tolist() == (there if broken else [])
    assert found.reason.tolist() == ([Break.MISSING] if broken else [])
    assert cuts.towards.tolist() == ([] if broken else there)
