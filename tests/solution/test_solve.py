"""Speeds, states and budgets at and beside their limits."""

from fractions import Fraction

import pytest

from analyzer.base.policy import Policy
from analyzer.solution.solution import Conflict, Motion, State
from tests.support.mechanism import SHAFT, machine, mechanism, mover

# Common practice of the trade, no source: a mover of torque 32 at 8 rpm gives 256, a machine of
# torque 8 at 8 rpm asks for 64.


def solved(parts, couplings=None, **more):
    if couplings is None:
        couplings = [(part, part + 1, 1) for part in range(len(parts) - 1)]
    return mechanism(parts, couplings, **more).solution


def test_demand_equal_to_capacity_is_full_and_not_overloaded():
    full = solved([mover(8), *[machine(8)] * 4])
    assert (full.state[0], full.capacity_power(0), full.demand_power(0)) == (
        State.TURNING,
        256,
        256,
    )
    over = solved([mover(8), *[machine(8)] * 5])
    assert (over.state[0], over.demand_power(0)) == (State.OVERLOADED, 320)


def test_the_smallest_addition_overloads_a_full_network():
    tiny = Fraction(1, 10**9)
    assert solved([mover(8), *[machine(8)] * 4, machine(tiny)]).state[0] == State.OVERLOADED


def test_an_overloaded_network_still_says_what_its_speeds_would_be():
    assert solved([mover(8), *[machine(8)] * 5]).speed_rpm(5) == 8


def test_a_network_without_an_active_mover_is_idle_without_speeds():
    for parts in ([machine(8), SHAFT], [mover(0), machine(8)]):
        idle = solved(parts)
        assert (idle.state[0], idle.motion[0]) == (State.IDLE, Motion.RESTS)
        assert (idle.capacity_power(0), idle.demand_power(0), idle.speed_rpm(0)) == (0, 0, None)


def test_a_mover_rated_zero_is_dragged_and_gives_nothing():
    dragged = solved([mover(8), mover(0)])
    assert (dragged.state[0], dragged.capacity_power(0)) == (State.TURNING, 256)
    assert dragged.speed_rpm(1) == 8


def test_the_fastest_mover_of_one_sense_leads_and_the_slower_gives_its_full_rating():
    led = solved([mover(8), mover(16, 4), machine(8)])
    assert (led.leader[0], led.opposing[0]) == (1, -1)
    assert led.speed_rpm(2) == 16
    assert led.capacity_power(0) == 256 + 64


def test_equal_movers_are_led_by_the_smallest():
    assert solved([SHAFT, mover(8), mover(8)]).leader[0] == 1


def test_movers_through_gears_are_compared_at_one_shaft():
    # 8 rpm doubled equals 16 rpm: both agree, nobody is dragged.
    led = solved([mover(8), mover(16)], [(0, 1, 2)], policy=Policy(unequal_movers="conflict"))
    assert led.state[0] == State.TURNING


def test_movers_of_opposite_senses_conflict_whatever_their_speeds():
    for second in (-8, -16, Fraction(-1, 10**9)):
        locked = solved([mover(8), mover(second)])
        assert (locked.state[0], locked.conflict[0]) == (State.CONFLICTING, Conflict.MOVERS)
        assert (locked.leader[0], locked.opposing[0]) == (0, 1)
        assert (locked.speed_rpm(0), locked.demand_power(0)) == (None, None)
        assert locked.capacity_power(0) == 256 + 32 * abs(second)


def test_a_reversed_mover_behind_a_mesh_pushes_the_same_way():
    assert solved([mover(8), mover(-8)], [(0, 1, -1)]).state[0] == State.TURNING


def test_unequal_movers_conflict_where_a_catalogue_or_the_user_says_so():
    by_catalogue = [mover(8), mover(16, strict=True)]
    assert solved(by_catalogue).conflict[0] == Conflict.MOVERS
    assert solved(by_catalogue, policy=Policy(unequal_movers="fastest")).state[0] == State.TURNING
    strict = solved([mover(16), mover(8)], policy=Policy(unequal_movers="conflict"))
    assert (strict.leader[0], strict.opposing[0]) == (0, 1)


def test_a_loop_goes_before_every_other_state():
    loop = [(0, 1, 1), (1, 2, 1), (0, 2, -1)]
    for parts in ([SHAFT] * 3, [mover(8), mover(-8), SHAFT]):
        locked = solved(parts, loop)
        assert (locked.state[0], locked.conflict[0]) == (State.CONFLICTING, Conflict.LOOP)
        assert locked.motion[0] == Motion.LOCKED
        assert locked.leader[0] == -1


@pytest.mark.parametrize(("factor", "motion"), [(1, Motion.TURNS), (2, Motion.OUT_OF_RANGE)])
def test_speeds_may_spread_by_2_to_the_256_and_no_more(factor, motion):
    line = [(0, 1, Fraction(2) ** 128), (1, 2, Fraction(2) ** 128 * factor)]
    spread = solved([mover(8), SHAFT, machine(1)], line)
    assert spread.motion[0] == motion
    assert (spread.speed_rpm(2) is None) == (motion == Motion.OUT_OF_RANGE)
    assert (spread.demand_power(0) is None) == (motion == Motion.OUT_OF_RANGE)


def test_the_spread_is_judged_exactly_a_hair_beside_the_limit():
    # 3^k is never a power of two: choose a quotient just above and just below 2^256.
    for nudge, motion in ((-1, Motion.TURNS), (1, Motion.OUT_OF_RANGE)):
        quotient = Fraction(2**256 + nudge)
        assert solved([mover(8), SHAFT], [(0, 1, quotient)]).motion[0] == motion


def test_opposing_movers_conflict_even_where_speeds_are_out_of_range():
    far = solved([mover(8), mover(-8)], [(0, 1, Fraction(2) ** 300)])
    assert (far.state[0], far.conflict[0]) == (State.CONFLICTING, Conflict.MOVERS)


def test_budgets_beyond_machine_integers_stay_exact():
    torque = Fraction(10**9)
    line = [(part, part + 1, Fraction(10**6 + part)) for part in range(8)]
    wide = solved([mover(1, torque), *[machine(torque)] * 8], line)
    expected, speed = Fraction(0), Fraction(1)
    for part in range(8):
        speed *= 10**6 + part
        expected += torque * speed
    assert wide.demand_power(0) == expected


def test_many_networks_are_solved_side_by_side():
    parts = [mover(8), machine(8), SHAFT, mover(8), *[machine(8)] * 5]
    couplings = [(0, 1, 1), *((3, other, 1) for other in range(4, 9))]
    result = solved(parts, couplings)
    assert result.state.tolist() == [State.TURNING, State.IDLE, State.OVERLOADED]


def test_a_network_with_a_cut_member_is_cut():
    result = solved([mover(8), machine(8), SHAFT], [(0, 1, 1)], cut=[1])
    assert result.cut.tolist() == [True, False]
