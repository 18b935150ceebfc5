"""Governors: what they turn, what they hold, and what contradicts them."""

from fractions import Fraction

import pytest

from analyzer.solution.solution import Conflict, Motion, State
from tests.support.mechanism import SHAFT, governor, machine, mechanism, mover


def solved(parts, couplings=(), governed=(), **more):
    return mechanism(parts, couplings, governed=governed, **more).solution


def speeds(result, count):
    return [result.speed_rpm(part) for part in range(count)]


def test_a_governor_turns_what_lies_behind_it_at_its_set_speed():
    result = solved([mover(8), governor(20), machine(8)], [(0, 1, 1)], [(1, 2, 1)])
    assert speeds(result, 3) == [8, 8, 20]
    assert (result.capacity_power(0), result.demand_power(0)) == (256, 160)
    assert result.leader.tolist() == [0, 1]


def test_power_passes_through_a_governor_so_that_all_zones_share_one_budget():
    result = solved([mover(8), governor(33), machine(8)], [(0, 1, 1)], [(1, 2, 1)])
    assert result.state.tolist() == [State.OVERLOADED]


@pytest.mark.parametrize(
    ("rated", "follows", "expected"), [(8, True, 20), (-8, True, -20), (-8, False, 20)]
)
def test_a_governor_follows_the_driving_side_or_keeps_its_own_sense(rated, follows, expected):
    result = solved([mover(rated), governor(20, follows=follows), SHAFT], [(0, 1, 1)], [(1, 2, 1)])
    assert result.speed_rpm(2) == expected


def test_a_mesh_at_the_governed_port_counts():
    result = solved([mover(8), governor(20), SHAFT], [(0, 1, 1)], [(1, 2, Fraction(-3, 2))])
    assert result.speed_rpm(2) == -30


def test_nothing_passes_backward():
    result = solved([SHAFT, governor(20), mover(8)], [(0, 1, 1)], [(1, 2, 1)])
    assert speeds(result, 3) == [0, 0, 8]
    assert result.motion.tolist() == [Motion.RESTS, Motion.TURNS]


def test_a_ring_of_governors_without_a_mover_rests():
    result = solved([governor(8), governor(8)], [], [(0, 1, 1), (1, 0, 1)])
    assert result.state.tolist() == [State.IDLE]
    assert speeds(result, 2) == [None, None]


def test_a_set_speed_of_zero_holds_at_rest_what_would_turn():
    result = solved(
        [mover(8), governor(0), mover(4), machine(8)], [(0, 1, 1), (2, 3, 1)], [(1, 2, 1)]
    )
    assert speeds(result, 4) == [8, 8, 0, 0]
    assert result.capacity_power(0) == 256 + 128
    assert result.demand_power(0) == 0


def test_a_mover_of_the_same_sense_is_dragged_and_gives_its_rating():
    result = solved([mover(8), governor(20), mover(4)], [(0, 1, 1)], [(1, 2, 1)])
    assert result.speed_rpm(2) == 20
    assert result.capacity_power(0) == 256 + 128
    assert result.dragged.tolist() == [False, False, True]


def test_a_mover_against_a_set_speed_is_a_conflict_by_movers():
    result = solved([mover(8), governor(20), mover(-4)], [(0, 1, 1)], [(1, 2, 1)])
    assert (result.state[0], result.conflict[0]) == (State.CONFLICTING, Conflict.MOVERS)
    (clash,) = result.clashes
    assert (clash.first, clash.second, clash.conflict) == (1, 2, Conflict.MOVERS)
    assert speeds(result, 3) == [None] * 3


@pytest.mark.parametrize(
    ("second", "conflict"),
    [
        (20, Conflict.NONE),
        (21, Conflict.GOVERNORS),
        (-20, Conflict.GOVERNORS),
        (0, Conflict.GOVERNORS),
    ],
)
def test_two_governors_of_one_zone_must_ask_for_one_speed(second, conflict):
    result = solved(
        [mover(8), governor(20), governor(second), SHAFT],
        [(0, 1, 1), (1, 2, 1)],
        [(1, 3, 1), (2, 3, 1)],
    )
    assert result.conflict.tolist() == [conflict]
    assert len(result.clashes) == (conflict != Conflict.NONE)


@pytest.mark.parametrize(("set_rpm", "conflict"), [(8, Conflict.NONE), (9, Conflict.GOVERNORS)])
def test_a_governor_with_both_sides_in_one_zone_must_be_met(set_rpm, conflict):
    result = solved([mover(8), governor(set_rpm), SHAFT], [(0, 1, 1), (1, 2, 1)], [(1, 2, 1)])
    assert result.conflict.tolist() == [conflict]


def test_a_zone_that_stops_what_stops_it_is_a_conflict():
    result = solved([mover(8), governor(5), governor(0)], [(0, 1, 1)], [(1, 2, 1), (2, 0, 1)])
    assert result.conflict.tolist() == [Conflict.GOVERNORS]


def test_what_only_turned_because_of_a_zone_now_at_rest_rests_too():
    # 0 turns and holds 2 at rest; 2 has a mover and would turn 4, which turns 5, which turns 4.
    result = solved(
        [mover(8), governor(0), mover(8), governor(3), governor(3), governor(3)],
        [(0, 1, 1), (2, 3, 1)],
        [(1, 2, 1), (3, 4, 1), (4, 5, 1), (5, 4, 1)],
    )
    assert speeds(result, 6) == [8, 8, 0, 0, 0, 0]


def test_a_ring_of_following_governors_takes_the_sense_of_its_mover():
    result = solved(
        [mover(-8), governor(5, follows=True), governor(9, follows=True)],
        [(0, 1, 1)],
        [(1, 2, 1), (2, 0, 1)],
    )
    assert speeds(result, 3) == [-9, -9, -5]


def test_a_ring_of_following_governors_that_reverses_itself_is_a_conflict():
    result = solved(
        [mover(-8), governor(5, follows=True), governor(9, follows=True)],
        [(0, 1, 1)],
        [(1, 2, 1), (2, 0, -1)],
    )
    assert result.conflict.tolist() == [Conflict.GOVERNORS]


def test_a_loop_goes_before_governors():
    result = solved(
        [mover(8), governor(20), SHAFT, SHAFT], [(0, 1, 1), (0, 1, -1)], [(1, 2, 1), (1, 3, 1)]
    )
    assert result.conflict.tolist() == [Conflict.LOOP]
    assert result.clashes == ()


def test_unequal_movers_do_not_conflict_in_a_zone_that_a_governor_sets():
    result = solved(
        [mover(8), governor(20), mover(4, strict=True), mover(6, strict=True)],
        [(0, 1, 1), (2, 3, 1)],
        [(1, 2, 1)],
    )
    assert result.state.tolist() == [State.TURNING]


def test_a_ring_has_its_way_before_the_zones_that_it_feeds():
    # Zone 0 is only fed by the ring of 1 and 3, whose mover turns forwards: its own mover pushes
    # against what the governor sets.
    result = solved(
        [mover(-8), mover(8), *[governor(5, follows=True)] * 3],
        [(1, 2, 1), (1, 4, 1)],
        [(2, 3, 1), (4, 0, 1), (3, 1, 1)],
    )
    assert result.conflict.tolist() == [Conflict.MOVERS]
    (clash,) = result.clashes
    assert (clash.zone, clash.second) == (0, 0)
