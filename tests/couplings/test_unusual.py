"""Unusual builds: parts that face themselves, rims on other cells, numbers that cannot be used."""

from __future__ import annotations

import pytest

from tests.couplings.test_joints import ROD, audited, couplings_of

NEAR = """
[parts."sketch:{name}"]
role = "transmission"
entity = {entity}
pose = {{facing = "facing"}}
rim = {{kind = "near", teeth = {teeth}{cell}}}
{more}
"""
PULLEY = """
[parts."sketch:pulley"]
role = "transmission"
entity = ["sketch:pulley"]
pose = {axis = "axis"}
link = {diameter = {stored = "Size"}, partner = {stored = "To", form = "list"}}
"""


def test_a_part_whose_own_ends_face_each_other_is_not_coupled_with_itself(tmp_path):
    bent = ROD.replace("rod", "bent").replace("back = -1", "back = {factor = -1, cell = [1, 0, 0]}")
    blocks = {(4, 64, 4): "sketch:bent[facing=east]", (8, 64, 4): "sketch:rod[facing=east]"}
    blocks[9, 64, 4] = "sketch:rod[facing=east]"
    audit = audited(tmp_path, [ROD, bent], blocks)
    assert couplings_of(audit) == [((8, 64, 4), (9, 64, 4), 1)]


@pytest.mark.parametrize(("facing", "at"), [("east", (4, 66, 5)), ("west", (4, 66, 3))])
def test_a_rim_on_another_cell_meshes_there_and_not_at_its_own_block(tmp_path, facing, at):
    # Two up and one to the right; beside that cell stands a plain wheel, and another beside the
    # block itself.
    types = [
        NEAR.format(name="tall", entity="false", teeth=12, cell=", cell = [0, 2, 1]", more=""),
        NEAR.format(name="plain", entity="false", teeth=24, cell="", more=""),
    ]
    above = (at[0], at[1] + 1, at[2])
    blocks = {(4, 64, 4): f"sketch:tall[facing={facing}]", above: "sketch:plain[facing=east]"}
    blocks[4, 63, 4] = "sketch:plain[facing=east]"
    found = couplings_of(audited(tmp_path, types, blocks))
    assert [(a, b) for a, b, _ in found] == [tuple(sorted([(4, 64, 4), above]))]


@pytest.mark.parametrize(
    ("sizes", "count"), [((3, 5), 1), ((3, "x"), 0), (("x", 5), 0), (("x", "x"), 0)]
)
def test_a_belt_needs_both_diameters(tmp_path, sizes, count):
    places = [(4, 64, 4), (4, 64, 9)]
    data = {
        at: {"id": "sketch:pulley", "Size": size} for at, size in zip(places, sizes, strict=True)
    }
    data[places[0]]["To"] = list(places[1])
    blocks = dict.fromkeys(places, "sketch:pulley[axis=x]")
    audit = audited(tmp_path, [PULLEY], blocks, data)
    assert len(audit.couplings) == count
    assert not len(audit.couplings.broken.part)
    assert len(audit.parts.unusable) == sizes.count("x")


@pytest.mark.parametrize(
    ("teeth", "count"), [((12, 24), 1), ((12, "x"), 0), (("x", 24), 0), (("x", "x"), 0)]
)
def test_a_toothed_offset_needs_the_teeth_of_both(tmp_path, teeth, count):
    meets = 'meets = [{at = [0, 3, 0], types = ["sketch:wheel"], toothed = true}]'
    stored = '{stored = "Teeth"}'
    wheel = NEAR.format(name="wheel", entity='["sketch:wheel"]', teeth=stored, cell="", more=meets)
    places = [(4, 64, 4), (4, 67, 4)]
    data = {
        at: {"id": "sketch:wheel", "Teeth": number}
        for at, number in zip(places, teeth, strict=True)
    }
    blocks = dict.fromkeys(places, "sketch:wheel[facing=east]")
    assert len(audited(tmp_path, [wheel], blocks, data).couplings) == count


@pytest.mark.parametrize(
    ("facing", "there"), [("south", (40, 64, 96)), ("east", (48, 64, 95)), ("north", (40, 64, 95))]
)
def test_a_port_that_leads_into_a_chunk_that_was_read_is_not_cut(tmp_path, facing, there):
    step = {"south": (0, 0, 1), "east": (1, 0, 0), "north": (0, 0, -1)}[facing]
    here = tuple(a - b for a, b in zip(there, step, strict=True))
    rods = dict.fromkeys((here, there), f"sketch:rod[facing={facing}]")
    audit = audited(tmp_path, [ROD], rods)
    assert len(audit.couplings) == 1
    cut = {tuple(towards) for towards in audit.couplings.cuts.towards.tolist()}
    assert not cut & {here, there}
