"""Links, own offsets, switches and governed ports, from a written save to the couplings."""

from fractions import Fraction

import numpy as np
import pytest

from analyzer.base.block import parse_block_state
from analyzer.base.place import Block
from analyzer.couplings.couplings import Break, Kind
from analyzer.couplings.engage import engaged
from analyzer.demo.content import Placement
from tests.couplings.test_find import HEAD
from tests.support.audits import audited_text
from tests.support.saves import save_of

ROD = """
[parts."sketch:rod"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = 1, back = -1}
"""

PULLEY = """
[parts."sketch:pulley{size}{belt}"]
role = "transmission"
entity = ["sketch:pulley"]
pose = {{axis = "axis"}}
link = {{crossed = {crossed}, diameter = {size}, partner = {{stored = "Partner", form = "list"}}}}
"""

BOX = """
[parts."sketch:box"]
role = "transmission"
entity = false
pose = {facing = "facing"}
ends = {front = 1, back = -1}
"""
ON = 'on = {property = "on", values = {yes = 1, no = 0}}'
CLUTCH = BOX + 'switch = {kind = "clutch", opens = ["front"], ' + ON + "}\n"
REVERSER = BOX + 'switch = {kind = "reverser", flips = "front", ' + ON + "}\n"
GOVERNOR = BOX + 'governor = {port = "front", set_rpm = 12, sense = "own"}\n'


def audited(tmp_path, types, blocks, data=None):
    placements = [
        Placement(Block(*at), parse_block_state(state), (data or {}).get(at))
        for at, state in blocks.items()
    ]
    return audited_text(save_of(tmp_path, placements), HEAD + "".join(types))


def couplings_of(audit, *, in_force=True):
    found = audit.couplings
    mask = engaged(found, audit.parts.switch_states()).couplings
    return [
        (audit.parts.block_at(a), audit.parts.block_at(b), found.ratios[ratio])
        for a, b, ratio, holds in zip(
            found.a.tolist(), found.b.tolist(), found.ratio.tolist(), mask, strict=True
        )
        if holds or not in_force
    ]


def pulley(size, *, crossed=False):
    belt = "x" if crossed else ""
    return PULLEY.format(size=size, belt=belt, crossed=str(crossed).lower())


def kept(partner=None):
    return {"id": "sketch:pulley", **({} if partner is None else {"Partner": list(partner)})}


ONE, TWO = (4, 64, 4), (9, 66, 4)


def belted(tmp_path, *, first="pulley4", second="pulley20", partner=TWO, back=None, crossed=False):
    return audited(
        tmp_path,
        [pulley(4), pulley(20), pulley(600, crossed=True), pulley(1200, crossed=True)],
        {ONE: f"sketch:{first}[axis=x]", TWO: f"sketch:{second}[axis=x]"},
        {ONE: kept(partner), TWO: kept(back)},
    )


def test_an_open_belt_keeps_the_sense_and_divides_by_the_diameters(tmp_path):
    # 1500 rpm on 4 in drives a 20 in pulley at 300 rpm: Milton and Wohlers, A Course in Wood
    # Turning (1919); title from memory.
    audit = belted(tmp_path)
    assert couplings_of(audit) == [(ONE, TWO, Fraction(300, 1500))]
    assert audit.couplings.kind.tolist() == [Kind.LINK]


def test_a_crossed_belt_reverses_the_sense(tmp_path):
    # Crossed belt, 600 mm at 500 rpm to 250 rpm: 1200 mm and the opposite sense. Mechanical
    # Engineer's Pocket Book, p. 374.
    audit = belted(tmp_path, first="pulley600x", second="pulley1200x")
    assert couplings_of(audit) == [(ONE, TWO, Fraction(-250, 500))]


@pytest.mark.parametrize(("partner", "back"), [(TWO, None), (None, ONE), (TWO, ONE)])
def test_a_pair_is_one_coupling_whichever_side_stores_it(tmp_path, partner, back):
    audit = belted(tmp_path, partner=partner, back=back)
    assert couplings_of(audit) == [(ONE, TWO, Fraction(1, 5))]


def test_sides_that_disagree_are_two_couplings_that_contradict(tmp_path):
    audit = belted(tmp_path, second="pulley600x", back=ONE)
    ratios = sorted(ratio for _, _, ratio in couplings_of(audit))
    assert ratios == [Fraction(-1, 150), Fraction(1, 150)]
    assert len(audit.networks.disagreeing) == 1


@pytest.mark.parametrize(
    ("partner", "reason"),
    [
        (ONE, Break.ITSELF),
        ((5, 64, 4), Break.MISSING),
        ((6, 64, 4), Break.NO_LINK),
        ((7, 64, 4), Break.NOT_PARALLEL),
    ],
)
def test_a_partner_that_is_none_breaks_the_link(tmp_path, partner, reason):
    audit = audited(
        tmp_path,
        [pulley(4), ROD],
        {
            ONE: "sketch:pulley4[axis=x]",
            (6, 64, 4): "sketch:rod[facing=east]",
            (7, 64, 4): "sketch:pulley4[axis=z]",
        },
        {ONE: kept(partner), (7, 64, 4): kept()},
    )
    broken = audit.couplings.broken
    assert couplings_of(audit) == []
    assert (broken.reason.tolist(), broken.towards.tolist()) == ([reason], [list(partner)])


def test_a_partner_in_a_chunk_never_generated_is_a_cut_and_not_broken(tmp_path):
    audit = belted(tmp_path, partner=(4000, 64, 4))
    assert not len(audit.couplings.broken.part)
    assert audit.couplings.cuts.towards.tolist() == [[4000, 64, 4]]


def test_a_part_that_stores_no_partner_is_not_linked(tmp_path):
    audit = belted(tmp_path, partner=None)
    assert couplings_of(audit) == []
    assert not len(audit.couplings.broken.part)


@pytest.mark.parametrize(("on", "expected"), [("yes", 1), ("no", 0)])
def test_a_clutch_couples_its_port_only_while_it_is_on(tmp_path, on, expected):
    audit = audited(
        tmp_path,
        [ROD, CLUTCH],
        {
            (3, 64, 4): "sketch:rod[facing=east]",
            (4, 64, 4): f"sketch:box[facing=east,on={on}]",
            (5, 64, 4): "sketch:rod[facing=east]",
        },
    )
    assert len(couplings_of(audit)) == 1 + expected
    assert len(couplings_of(audit, in_force=False)) == 2
    assert len(audit.networks) == 2 - expected


@pytest.mark.parametrize(("on", "ratio"), [("no", 1), ("yes", -1)])
def test_a_reverser_flips_its_port_while_it_is_on(tmp_path, on, ratio):
    audit = audited(
        tmp_path,
        [ROD, REVERSER],
        {
            (3, 64, 4): "sketch:rod[facing=east]",
            (4, 64, 4): f"sketch:box[facing=east,on={on}]",
            (5, 64, 4): "sketch:rod[facing=east]",
        },
    )
    assert [found for _, _, found in couplings_of(audit)] == [1, ratio]
    assert len(couplings_of(audit, in_force=False)) == 3


@pytest.mark.parametrize("states", ["yes yes", "yes no", "no yes", "no no"])
def test_two_reversers_that_meet_multiply(tmp_path, states):
    one, two = states.split()
    audit = audited(
        tmp_path,
        [REVERSER],
        {
            (4, 64, 4): f"sketch:box[facing=east,on={one}]",
            (5, 64, 4): f"sketch:box[facing=west,on={two}]",
        },
    )
    sign = 1 if one == two else -1
    assert couplings_of(audit) == [((4, 64, 4), (5, 64, 4), sign)]
    assert len(couplings_of(audit, in_force=False)) == 4


def test_a_governed_port_fixes_no_ratio(tmp_path):
    audit = audited(
        tmp_path,
        [ROD, GOVERNOR],
        {
            (3, 64, 4): "sketch:rod[facing=east]",
            (4, 64, 4): "sketch:box[facing=east]",
            (5, 64, 4): "sketch:rod[facing=east]",
        },
    )
    assert couplings_of(audit) == [((3, 64, 4), (4, 64, 4), 1)]
    governed = audit.couplings.governed
    assert (governed.part.tolist(), governed.other.tolist()) == ([1], [2])
    assert governed.drives.tolist() == [True]
    assert (len(audit.networks), len(audit.networks.root)) == (1, 2)


def test_two_governed_ports_that_meet_drive_nothing(tmp_path):
    audit = audited(
        tmp_path,
        [GOVERNOR],
        {(4, 64, 4): "sketch:box[facing=east]", (5, 64, 4): "sketch:box[facing=west]"},
    )
    assert audit.couplings.governed.drives.tolist() == [False, False]
    assert not len(audit.networks.governors.governed)
    assert len(audit.networks) == 1


def wheel(more):
    return f"""
[parts."sketch:wheel"]
role = "transmission"
entity = false
pose = {{facing = "facing"}}
rim = {{kind = "far", teeth = 24, placements = ["crossed"]}}
meets = [{more}]
"""


@pytest.mark.parametrize("facing", ["east", "up", "north"])
def test_a_stated_offset_turns_both_as_it_says(tmp_path, facing):
    # One step up along the own top, whichever way the wheel faces.
    top = {"east": (0, 1, 0), "up": (0, 0, 1), "north": (0, 1, 0)}[facing]
    other = tuple(np.add((4, 64, 4), top).tolist())
    audit = audited(
        tmp_path,
        [wheel('{at = [0, 1, 0], types = ["sketch:wheel"], ratio = 1}')],
        {(4, 64, 4): f"sketch:wheel[facing={facing}]", other: f"sketch:wheel[facing={facing}]"},
    )
    first, second = sorted([(4, 64, 4), other])
    assert couplings_of(audit) == [(first, second, 1)]


def test_a_toothed_offset_of_parallel_axes_reverses_by_the_teeth(tmp_path):
    audit = audited(
        tmp_path,
        [wheel('{at = [0, 2, 0], types = ["sketch:wheel"], toothed = true}')],
        {(4, 64, 4): "sketch:wheel[facing=east]", (4, 66, 4): "sketch:wheel[facing=east]"},
    )
    assert couplings_of(audit) == [((4, 64, 4), (4, 66, 4), -1)]


def test_a_contact_cell_gives_the_sign_where_axes_meet(tmp_path):
    # Wheel one about x at the origin, wheel two about y at (1, 2, 0), contact at (0, 2, 0):
    # x × (0, 2, 0) = (0, 0, 2) and y × (-1, 0, 0) = (0, 0, 1): the same way.
    audit = audited(
        tmp_path,
        [wheel('{at = [1, 2, 0], types = ["sketch:wheel"], toothed = true, contact = [0, 2, 0]}')],
        {(4, 64, 4): "sketch:wheel[facing=east]", (5, 66, 4): "sketch:wheel[facing=up]"},
    )
    assert couplings_of(audit) == [((4, 64, 4), (5, 66, 4), 1)]
