"""Switches and governors seen from the part that comes later in the order of parts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.couplings.test_joints import CLUTCH, REVERSER, ROD, audited, couplings_of

GEARED = """
[parts."sketch:box"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = 3, back = -1}
governor = {port = "front", set_rpm = 12, sense = "own"}
"""
FIRST, SECOND = (3, 64, 4), (4, 64, 4)


@pytest.mark.parametrize("facing", ["east", "west"])
@pytest.mark.parametrize("on", ["yes", "no"])
def test_a_clutch_opens_its_port_on_either_side(tmp_path, facing, on):
    blocks = {(x, 64, 4): "sketch:rod[facing=east]" for x in (3, 5)}
    blocks[SECOND] = f"sketch:box[facing={facing},on={on}]"
    audit = audited(tmp_path, [ROD, CLUTCH], blocks)
    guards = list(zip(audit.couplings.guard_a, audit.couplings.guard_b, strict=True))
    assert guards == ([(-1, -1), (1, -1)] if facing == "east" else [(-1, 1), (-1, -1)])
    assert len(couplings_of(audit)) == (2 if on == "yes" else 1)


@pytest.mark.parametrize("facing", ["east", "west"])
def test_a_reverser_flips_its_port_on_either_side(tmp_path, facing):
    blocks = {(x, 64, 4): "sketch:rod[facing=east]" for x in (3, 5)}
    blocks[SECOND] = f"sketch:box[facing={facing},on=yes]"
    found = audited(tmp_path, [ROD, REVERSER], blocks).couplings
    rows = [
        (a, b, found.ratios[ratio], guard_a, guard_b)
        for a, b, ratio, guard_a, guard_b in zip(
            found.a.tolist(),
            found.b.tolist(),
            found.ratio.tolist(),
            found.guard_a.tolist(),
            found.guard_b.tolist(),
            strict=True,
        )
    ]
    if facing == "east":
        expected = [(0, 1, 1, -1, -1), (1, 2, 1, 0, -1), (1, 2, -1, 1, -1)]
    else:
        expected = [(0, 1, 1, -1, 0), (0, 1, -1, -1, 1), (1, 2, 1, -1, -1)]
    # A box that faces west turns about the same world axis as the rods.
    assert sorted(rows) == sorted(expected)


@pytest.mark.parametrize("facing", ["east", "west"])
def test_a_governed_port_has_one_ratio_on_either_side(tmp_path, facing):
    blocks = {(x, 64, 4): "sketch:rod[facing=east]" for x in (3, 5)}
    blocks[SECOND] = f"sketch:box[facing={facing}]"
    audit = audited(tmp_path, [ROD, GEARED], blocks)
    governed = audit.couplings.governed
    (row,) = zip(
        governed.part.tolist(),
        governed.port.tolist(),
        governed.other.tolist(),
        governed.other_port.tolist(),
        governed.guard_part.tolist(),
        governed.guard_other.tolist(),
        strict=True,
    )
    assert row == ((1, 0, 2, 1, -1, -1) if facing == "east" else (1, 0, 0, 0, -1, -1))
    assert audit.couplings.ratios[int(governed.ratio[0])] == Fraction(3)


WHEEL = """
[parts."sketch:wheel"]
role = "mover"
entity = false
pose = {facing = "facing"}
ends = {front = 1, back = -1}
rated_rpm = 8
torque = 32
"""


def test_a_governed_end_of_any_factor_turns_what_it_meets_at_the_set_speed(tmp_path):
    blocks = {FIRST: "sketch:wheel[facing=east]", SECOND: "sketch:box[facing=east]"}
    blocks[5, 64, 4] = "sketch:rod[facing=east]"
    audit = audited(tmp_path, [ROD, GEARED, WHEEL], blocks)
    # The governor itself turns with the wheel; its end at the set 12 rpm, whatever its factor.
    assert [audit.solution.speed_rpm(part) for part in range(3)] == [8, 8, 12]
