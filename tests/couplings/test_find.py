"""Couplings and cuts of small builds, from a written save to the tables."""

from fractions import Fraction

import numpy as np
import pytest

from analyzer import audit_save
from analyzer.base.block import parse_block_state
from analyzer.base.place import Block
from analyzer.catalogue.load import load_catalogue_text
from analyzer.couplings.couplings import Kind
from analyzer.couplings.find import find_couplings
from analyzer.demo.content import Placement
from analyzer.save.scan.scan import Coverage, RegionCoverage, SlotStatus
from tests.support.saves import save_of

HEAD = """
[catalogue]
format = 1
title = "Sketch"
namespace = "sketch"
version = "1"
licence = "MIT"
"""

WHEEL = """
[parts."sketch:wheel"]
role = "transmission"
entity = false
pose = {front = "up"}
rim = {kind = "far", teeth = 24, placements = ["diagonal"]}
"""

SHAFT = """
[parts."{name}"]
role = "transmission"
entity = false
pose = {{facing = "facing"}}
ends = {{front = 1, back = -1}}
{more}
"""


def audited(tmp_path, types, blocks):
    text = HEAD + "".join(types)
    placements = [Placement(Block(*at), parse_block_state(state)) for at, state in blocks.items()]
    return audit_save(save_of(tmp_path, placements), catalogues=load_catalogue_text(text, "sketch"))


def couplings_of(audit):
    found = audit.couplings
    return [
        (audit.parts.block_at(a), audit.parts.block_at(b), found.ratios[ratio])
        for a, b, ratio in zip(
            found.a.tolist(), found.b.tolist(), found.ratio.tolist(), strict=True
        )
    ]


@pytest.mark.parametrize(
    ("first", "second", "ratio"), [("east", "east", 1), ("east", "west", 1), ("west", "west", 1)]
)
def test_a_shaft_turns_as_one_whichever_way_its_pieces_face(tmp_path, first, second, ratio):
    audit = audited(
        tmp_path,
        [SHAFT.format(name="sketch:rod", more="")],
        {(4, 64, 4): f"sketch:rod[facing={first}]", (5, 64, 4): f"sketch:rod[facing={second}]"},
    )
    assert couplings_of(audit) == [((4, 64, 4), (5, 64, 4), ratio)]
    assert audit.networks.shaft.tolist() == [0, 0]


def test_ends_that_do_not_face_each_other_do_not_couple(tmp_path):
    audit = audited(
        tmp_path,
        [SHAFT.format(name="sketch:rod", more="")],
        {(4, 64, 4): "sketch:rod[facing=east]", (5, 64, 4): "sketch:rod[facing=up]"},
    )
    assert couplings_of(audit) == []


def test_parts_of_different_classes_do_not_couple(tmp_path):
    rim = 'rim = {kind = "near", teeth = 12}'
    audit = audited(
        tmp_path,
        [
            SHAFT.format(name="sketch:rod", more=rim),
            SHAFT.format(name="sketch:thick", more=f'{rim}\nfits = "thick"'),
        ],
        {
            (4, 64, 4): "sketch:rod[facing=up]",
            (4, 65, 4): "sketch:thick[facing=up]",
            (5, 64, 4): "sketch:thick[facing=up]",
            (5, 65, 4): "sketch:thick[facing=up]",
        },
    )
    thick = [((4, 65, 4), (5, 65, 4), -1), ((5, 64, 4), (5, 65, 4), 1)]
    assert couplings_of(audit) == thick


def test_end_factors_of_any_size_couple_exactly(tmp_path):
    audit = audited(
        tmp_path,
        [
            SHAFT.format(name="sketch:rod", more=""),
            SHAFT.format(name="sketch:box", more="").replace("front = 1", "front = 2.5"),
        ],
        {(4, 64, 4): "sketch:box[facing=east]", (5, 64, 4): "sketch:rod[facing=east]"},
    )
    assert couplings_of(audit) == [((4, 64, 4), (5, 64, 4), Fraction(5, 2))]


def test_gears_end_to_end_and_side_by_side_are_a_shaft_and_a_mesh(tmp_path):
    audit = audited(
        tmp_path,
        [SHAFT.format(name="sketch:gear", more='rim = {kind = "near", teeth = 12}')],
        {(4, 64, 4): "sketch:gear[facing=up]", (5, 64, 4): "sketch:gear[facing=up]"}
        | {(4, 65, 4): "sketch:gear[facing=up]"},
    )
    kinds = [Kind(kind) for kind in audit.couplings.kind.tolist()]
    assert kinds == [Kind.SHAFT, Kind.MESH]


@pytest.mark.parametrize("status", list(SlotStatus))
def test_a_port_is_cut_where_it_aims_into_a_chunk_not_looked_at(tmp_path, status):
    audit = audited(
        tmp_path,
        [SHAFT.format(name="sketch:rod", more="")],
        {(15, 64, 4): "sketch:rod[facing=east]"},
    )
    slots = bytearray([SlotStatus.READ] * 1024)
    slots[1] = status
    coverage = Coverage((RegionCoverage(0, 0, 0, "region/r.0.0.mca", bytes(slots)),), ())
    cuts = find_couplings(audit.parts, coverage).cuts
    if status in (SlotStatus.READ, SlotStatus.SIFTED):
        assert not len(cuts.part)
    else:
        assert cuts.towards.tolist() == [[16, 64, 4]]
        assert (cuts.port.tolist(), cuts.status.tolist()) == ([0], [status])


def test_every_offset_of_a_rim_at_a_corner_is_cut_by_what_lies_round_it(tmp_path):
    audit = audited(tmp_path, [WHEEL], {(0, 64, 0): "sketch:wheel"})
    slots = bytearray([SlotStatus.ABSENT] * 1024)
    slots[0] = SlotStatus.READ
    coverage = Coverage((RegionCoverage(0, 0, 0, "region/r.0.0.mca", bytes(slots)),), ())
    cuts = find_couplings(audit.parts, coverage).cuts
    assert cuts.towards.tolist() == [[-1, 64, -1], [-1, 64, 1], [1, 64, -1]]
    assert np.unique(cuts.status).tolist() == [SlotStatus.ABSENT]
