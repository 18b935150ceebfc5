"""Sheets and power diagrams of the demo save."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.report.drawing.make_sheet import make_sheet
from analyzer.report.drawing.power_diagram import make_power_diagram
from analyzer.report.lookup import part_at
from tests.support.demo import demo_audit
from tests.support.mechanism import audit_of, governor, machine, mechanism, mover

OVERWORLD = "minecraft:overworld"


def network_at(audit: Audit, *block: int) -> int:
    part = part_at(audit.parts, OVERWORLD, Block(*block))
    assert part is not None
    return int(audit.networks.network[part])


def test_a_sheet_of_the_whole_has_every_part_and_every_mark() -> None:
    audit = demo_audit()
    sheet = make_sheet(audit)
    assert sheet.parts.row.tolist() == list(range(len(audit.parts)))
    assert [mark.finding for mark in sheet.marks] == list(range(len(audit.findings.items)))
    assert (
        len(sheet.couplings) == len(audit.couplings) + len(audit.couplings.governed.part) - _open()
    )


def _open() -> int:
    """Couplings of the demo save that its switches keep open, counted one by one."""
    audit = demo_audit()
    table, governed, state = audit.couplings, audit.couplings.governed, audit.parts.switch_states()
    rows = list(zip(table.a, table.b, table.guard_a, table.guard_b, strict=True))
    rows += zip(
        governed.part, governed.other, governed.guard_part, governed.guard_other, strict=True
    )
    return sum(
        any(guard >= 0 and state[part] != guard for part, guard in ((a, one), (b, other)))
        for a, b, one, other in rows
    )


def test_a_sheet_of_one_network_has_its_parts_couplings_and_marks_alone() -> None:
    audit = demo_audit()
    hall = network_at(audit, 3, 64, 24)
    sheet = make_sheet(audit, [hall])
    assert sheet.parts.xyz.tolist() == [[3 + step, 64, 24] for step in range(6)]
    assert set(sheet.parts.network.tolist()) == {hall}
    assert list(zip(sheet.couplings.a.tolist(), sheet.couplings.b.tolist(), strict=True)) == [
        (step, step + 1) for step in range(5)
    ]
    about = {mark.rule for mark in sheet.marks if mark.network is not None}
    assert about == {"overload"}


def test_powers_are_what_machines_ask_for_and_active_movers_give() -> None:
    audit = demo_audit()
    sheet = make_sheet(audit, [network_at(audit, 3, 64, 24)])
    power = [None if one < 0 else sheet.powers[one] for one in sheet.parts.power.tolist()]
    assert power == [256, 64, 64, 64, 64, 64]


def test_the_powers_of_machines_sum_to_their_networks_demand() -> None:
    audit = demo_audit()
    sheet = make_sheet(audit)
    roles = np.array([look.role for look in sheet.looks])[sheet.parts.look]
    for network in range(len(audit.networks)):
        demand = audit.solution.demand_power(network)
        if demand is None:
            continue
        here = (sheet.parts.network == network) & (roles == "machine") & (sheet.parts.power >= 0)
        assert sum(sheet.powers[one] for one in sheet.parts.power[here].tolist()) == demand


def test_a_sheet_of_nothing_is_empty() -> None:
    sheet = make_sheet(audit_of(mechanism([])))
    assert len(sheet.parts) == len(sheet.couplings) == len(sheet.marks) == 0


def test_a_loops_mark_has_its_chain_and_is_closed() -> None:
    audit = demo_audit()
    sheet = make_sheet(audit, [network_at(audit, 22, 64, -10)])
    mark = next(one for one in sheet.marks if one.rule == "loop-conflict")
    assert mark.closed
    assert len(mark.chain) == 6
    assert mark.places[0] == Block(23, 64, -10)


def test_a_power_diagram_joins_shafts_by_their_ratios() -> None:
    audit = demo_audit()
    number = network_at(audit, 22, 64, -10)
    diagram = make_power_diagram(make_sheet(audit), number)
    assert [shaft.parts for shaft in diagram.shafts] == [4, 4]
    assert [(one.a, one.b, one.ratio) for one in diagram.transfers] == [(0, 1, -3), (0, 1, -2)]
    lower, upper = diagram.shafts
    assert [(one.look.block, one.power) for one in lower.movers] == [("quayworks:tide_wheel", 256)]
    assert [(one.count, one.power) for one in upper.machines] == [(1, None)]


def test_a_governed_transfer_has_no_ratio_and_leads_from_the_governor() -> None:
    audit = audit_of(
        mechanism(
            [mover(8), governor(4), machine(2)], [(0, 1, 1)], governed=[(1, 2, Fraction(1, 2))]
        )
    )
    diagram = make_power_diagram(make_sheet(audit), 0)
    assert [(one.a, one.b, one.ratio) for one in diagram.transfers if one.ratio is None] == [
        (1, 2, None)
    ]
    assert diagram.shafts[2].machines[0].power == 2 * abs(diagram.shafts[2].speed_rpm or 0)


@pytest.mark.parametrize("chosen", [[], [0], [0, 3]])
def test_couplings_of_a_sheet_stay_on_it(chosen: list[int]) -> None:
    sheet = make_sheet(demo_audit(), chosen)
    for end in (sheet.couplings.a, sheet.couplings.b):
        assert ((end >= 0) & (end < len(sheet.parts))).all()
