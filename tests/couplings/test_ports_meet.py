"""Which ports meet: seen from both parts, on cells of their own, and without a usable number."""

from __future__ import annotations

import numpy as np
import pytest

from analyzer.base.frame_tables import POSE_FACES, UNIT_VECTORS
from analyzer.couplings.couplings import Kind
from tests.couplings.test_joints import ROD, audited, couplings_of

LONG = """
[parts."sketch:long"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = {factor = 1, cell = [3, 0, 0]}, back = {factor = -3, cell = [0, 2, 1]}}
"""
GEARED = """
[parts."sketch:geared"]
role = "transmission"
entity = ["sketch:geared"]
pose = {facing = "facing"}
ends = {front = {stored = "Gear"}, back = -1}
rim = {kind = "near", teeth = {stored = "Teeth"}}
"""
FACINGS = ["east", "west", "up", "down", "south", "north"]


@pytest.mark.parametrize("facing", FACINGS)
def test_an_end_couples_at_the_cell_that_it_leaves_whichever_part_comes_first(tmp_path, facing):
    here = (24, 74, 24)
    front, _, top, _, right, _ = (UNIT_VECTORS[face] for face in POSE_FACES[_pose(facing)])
    blocks = {
        here: f"sketch:long[facing={facing}]",
        tuple(np.add(here, 4 * front).tolist()): f"sketch:rod[facing={facing}]",
        tuple(np.add(here, 2 * top + right - front).tolist()): f"sketch:rod[facing={facing}]",
    }
    audit = audited(tmp_path, [ROD, LONG], blocks)
    found = audit.couplings
    assert found.kind.tolist() == [Kind.SHAFT] * 2
    long = next(part for part in range(3) if tuple(audit.parts.block_at(part)) == here)
    ports = {
        (port_a, port_b) if a == long else (port_b, port_a)
        for a, port_a, port_b in zip(
            found.a.tolist(), found.port_a.tolist(), found.port_b.tolist(), strict=True
        )
    }
    # The long one's front meets a back, its back a front.
    assert ports == {(0, 1), (1, 0)}
    assert (found.a < found.b).all()
    # A front of factor 1 turns a rod as fast, a back of factor -3 three times as fast.
    per_long = {ratio if first == here else 1 / ratio for first, _, ratio in couplings_of(audit)}
    assert per_long == {1, 3}


def test_an_end_or_a_rim_without_a_usable_number_couples_nothing(tmp_path):
    row = {(x, 64, 4): "sketch:geared[facing=east]" for x in range(4, 7)}
    beside = {(x, 65, 4): "sketch:geared[facing=east]" for x in range(4, 7)}
    bad = {"id": "sketch:geared", "Gear": "none", "Teeth": "none"}
    audit = audited(tmp_path, [GEARED], row | beside, dict.fromkeys(row | beside, bad))
    assert couplings_of(audit) == []
    assert len(audit.parts.unusable) == 12


def test_parts_side_by_side_that_have_no_rim_do_not_mesh(tmp_path):
    blocks = {(x, y, 4): "sketch:rod[facing=south]" for x in (4, 5) for y in (64, 65)}
    assert couplings_of(audited(tmp_path, [ROD], blocks)) == []


WHEEL = """
[parts."sketch:{name}"]
role = "transmission"
entity = false
pose = {{facing = "facing"}}
rim = {{kind = "far", teeth = 24, placements = ["crossed"]}}
{more}
"""


@pytest.mark.parametrize("kind", ["toothed = true", "ratio = -2"])
def test_an_offset_couples_the_types_that_it_names_and_no_other(tmp_path, kind):
    meets = f'meets = [{{at = [0, 2, 0], types = ["sketch:other"], {kind}}}]'
    blocks = {
        (4, 64, 4): "sketch:wheel[facing=east]",
        (4, 66, 4): "sketch:wheel[facing=east]",
        (4, 68, 4): "sketch:other[facing=east]",
    }
    types = [WHEEL.format(name="wheel", more=meets), WHEEL.format(name="other", more="")]
    ratio = -1 if kind.startswith("toothed") else -2
    assert couplings_of(audited(tmp_path, types, blocks)) == [((4, 66, 4), (4, 68, 4), ratio)]


def _pose(facing):
    from analyzer.base.frame import FACES, pose_facing

    return pose_facing(FACES.index(facing))
