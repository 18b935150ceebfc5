"""Which movers drive, and what they ask of their zones."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from analyzer import audit_save
from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.load import load_catalogue_text
from analyzer.demo.content import place
from analyzer.solution.solution import Conflict, Motion, State
from analyzer.solution.solve import solve_networks
from tests.catalogue.texts import HEAD
from tests.support.mechanism import SHAFT, Part, governor, machine, mechanism, mover
from tests.support.saves import save_of

LIT = """
[parts."q:wheel"]
role = "mover"
entity = false
pose = {facing = "facing"}
ends = {front = 1, back = -1}
rated_rpm = 8
torque = 32
active = {property = "lit", values = {"true" = 1, "false" = 0}}
"""


def solved(parts, couplings=None, **more):
    if couplings is None:
        couplings = [(part, part + 1, 1) for part in range(len(parts) - 1)]
    return mechanism(parts, couplings, **more).solution


@pytest.mark.parametrize("assume", [False, True])
@pytest.mark.parametrize("lit", ["true", "false"])
def test_a_mover_that_is_off_drives_only_where_all_are_taken_as_active(
    tmp_path: Path, lit: str, assume: bool
) -> None:
    save = save_of(tmp_path, [place((4, 64, 4), f"q:wheel[facing=east,lit={lit}]", None)])
    audit = audit_save(
        save,
        catalogues=load_catalogue_text(HEAD + LIT, "q.toml"),
        policy=Policy(assume_active=assume),
    )
    drives = lit == "true" or assume
    assert audit.solution.active.tolist() == [drives]
    assert audit.solution.state[0] == (State.TURNING if drives else State.IDLE)


def test_a_mover_without_torque_turns_what_asks_for_nothing():
    result = solved([mover(8, 0), SHAFT])
    assert (result.active.tolist(), result.state[0]) == ([True, False], State.TURNING)
    assert (result.capacity_power(0), result.speed_rpm(1)) == (0, 8)
    assert solved([mover(8, 0), machine(1)]).state[0] == State.OVERLOADED


@pytest.mark.parametrize("small", [Fraction(1, 2), Fraction(1, 10**9), 1])
def test_the_sense_of_a_mover_does_not_rest_on_how_fast_it_is(small):
    assert solved([mover(small), mover(8)]).state[0] == State.TURNING
    assert solved([mover(small), mover(-8)]).conflict[0] == Conflict.MOVERS
    assert solved([mover(-small), mover(-8)]).state[0] == State.TURNING


def strict(rated):
    return mover(rated, strict=True)


def test_strict_movers_are_compared_in_their_own_network():
    # The slow pair beside them gives the fast ones no rank of their own.
    parts = [strict(4), strict(4), strict(16), strict(8), strict(16), strict(16)]
    result = solved(parts, [(0, 1, 1), (2, 3, 1), (4, 5, 1)])
    assert result.state.tolist() == [State.TURNING, State.CONFLICTING, State.TURNING]
    assert result.leader.tolist() == [0, 2, 4]
    assert result.opposing.tolist() == [-1, 3, -1]


def test_only_movers_make_a_network_strict():
    for other in (Part(strict=True), machine(1, strict=True), mover(0, strict=True)):
        result = solved([mover(8), mover(16), other])
        assert result.state[0] == State.TURNING


def test_of_equally_fast_movers_the_first_leads_wherever_its_network_stands():
    result = solved([mover(8), SHAFT, mover(16), mover(16), mover(4)], [(0, 1, 1), (2, 3, 1)])
    assert result.leader.tolist() == [0, 2, 4]
    assert [result.speed_rpm(part) for part in range(5)] == [8, 8, 16, 16, 4]


@pytest.mark.parametrize(("down", "motion"), [(128, Motion.TURNS), (129, Motion.OUT_OF_RANGE)])
def test_speeds_spread_to_both_sides_of_the_root(down, motion):
    line = [(0, 1, Fraction(1, 2**down)), (0, 2, Fraction(2) ** 128)]
    result = solved([mover(8), SHAFT, SHAFT], line)
    assert result.motion[0] == motion


def test_a_zone_held_at_rest_needs_no_speeds_in_range():
    far = [(0, 1, 1), (2, 3, Fraction(2) ** 300)]
    result = solved([mover(8), governor(0), SHAFT, SHAFT], far, governed=[(1, 2, 1)])
    assert [result.speed_rpm(part) for part in (2, 3)] == [0, 0]


def test_what_a_network_that_contradicts_itself_asks_for_is_unknown():
    result = solved([mover(8), mover(-8), machine(3)])
    assert (result.demand.tolist(), result.demand_power(0)) == ([-1], None)


@pytest.mark.parametrize("field", [Field.RATED_RPM, Field.TORQUE])
def test_a_mover_or_machine_without_a_usable_number_does_nothing_known(field):
    case = mechanism([mover(8), machine(3), mover(4)], [(0, 1, 1)])
    column = case.parts.column(field).copy()
    column[[1, 2]] = -1
    parts = replace(case.parts, fields={**case.parts.fields, field: column})
    result = solve_networks(parts, case.couplings, case.networks, Policy())
    assert result.active.tolist() == [True, False, False]
    assert (result.demand[0] == -1) == (field is Field.TORQUE)
    assert result.demand_power(0) == (None if field is Field.TORQUE else 24)
