"""Clashes that governors have part in, where there are several, and what outranks what."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from analyzer.base.policy import Policy
from analyzer.catalogue.catalogue import Field
from analyzer.networks.group import group_networks
from analyzer.solution.solution import Clash, Conflict, Motion, State
from analyzer.solution.solve import solve_networks
from tests.support.mechanism import SHAFT, governor, mechanism, mover


def solved(parts, couplings=(), governed=(), **more):
    return mechanism(parts, couplings, governed=governed, **more).solution


def test_clashes_of_several_networks_are_all_told_in_their_order():
    pair = [mover(8), governor(5), governor(6), SHAFT]
    couplings = [(0, 1, 1), (0, 2, 1)]
    governed = [(1, 3, 1), (2, 3, 1)]
    twice = solved(
        pair + pair,
        couplings + [(a + 4, b + 4, ratio) for a, b, ratio in couplings],
        governed + [(a + 4, b + 4, ratio) for a, b, ratio in governed],
    )
    assert twice.clashes == (
        Clash(0, 1, Conflict.GOVERNORS, 1, 2),
        Clash(1, 3, Conflict.GOVERNORS, 5, 6),
    )
    assert twice.state.tolist() == [State.CONFLICTING] * 2


@pytest.mark.parametrize(("own", "fits"), [(12, True), (5, False)])
def test_a_governor_inside_a_governed_zone_is_held_to_the_speed_set_there(own, fits):
    # Part 1 sets 12 rpm in the zone of parts 2 and 3; part 2 would have its neighbour turn at its
    # own speed.
    result = solved(
        [mover(8), governor(12), governor(own), SHAFT],
        [(0, 1, 1), (2, 3, 1)],
        [(1, 3, 1), (2, 3, 1)],
    )
    assert (result.clashes == ()) == fits
    if not fits:
        assert result.clashes[0] == Clash(0, 1, Conflict.GOVERNORS, 1, 2)


@pytest.mark.parametrize("rated", [8, -8, Fraction(1, 2)])
@pytest.mark.parametrize(("ratio", "fits"), [(1, True), (-1, False)])
def test_a_governor_that_follows_its_own_zone_takes_the_sense_that_it_has(rated, ratio, fits):
    result = solved(
        [mover(rated), governor(abs(rated), follows=True), SHAFT],
        [(0, 1, 1), (1, 2, 1)],
        [(1, 2, ratio)],
    )
    assert (result.clashes == ()) == fits
    assert result.state[0] == (State.TURNING if fits else State.CONFLICTING)


def test_what_a_governor_sets_has_no_opposing_mover():
    # The two movers of the driven zone push the same way, so that what is set outranks both.
    result = solved(
        [mover(8), governor(20), mover(8), mover(16)],
        [(0, 1, 1), (2, 3, 1)],
        [(1, 2, 1)],
    )
    assert result.opposing.tolist() == [-1, -1]
    assert result.leader.tolist() == [0, 1]
    assert result.speed_rpm(3) == 20


@pytest.mark.parametrize("unit", [1, Fraction(1, 100)])
def test_governors_are_held_to_signs_alone_where_speeds_are_out_of_range(unit):
    # The driven zone spreads over more than 2^256, so that only which way it turns is known.
    far = Fraction(2) ** 300
    parts = [mover(8), governor(5 * unit), governor(7 * unit), SHAFT, SHAFT]
    couplings = [(0, 1, 1), (0, 2, 1), (3, 4, far)]
    same = solved(parts, couplings, [(1, 3, 1), (2, 4, 1)])
    assert same.clashes == ()
    assert same.motion.tolist() == [Motion.TURNS, Motion.OUT_OF_RANGE]
    against = solved(parts, couplings, [(1, 3, 1), (2, 4, -1)])
    assert against.clashes == (Clash(0, 1, Conflict.GOVERNORS, 1, 2),)


@pytest.mark.parametrize("sense", [1, -1])
def test_a_sense_is_followed_through_a_chain_of_governors_in_any_order(sense):
    # The mover is the last part; each governor before it feeds the one before that.
    parts = [SHAFT, governor(3, follows=True), governor(5, follows=True)]
    parts += [governor(7, follows=True), mover(8 * sense)]
    result = solved(parts, [(3, 4, 1)], [(3, 2, 1), (2, 1, 1), (1, 0, 1)])
    assert [result.speed_rpm(part) for part in range(5)] == [
        sense * speed for speed in (3, 5, 7, 8, 8)
    ]
    assert result.clashes == ()


@pytest.mark.parametrize("set_rpm", [Fraction(1, 2), 1, 8, 20])
@pytest.mark.parametrize("sense", [1, -1])
def test_a_mover_is_dragged_at_any_set_speed_of_its_sense_and_clashes_at_the_other(set_rpm, sense):
    result = solved([mover(8), governor(sense * set_rpm), mover(8)], [(0, 1, 1)], [(1, 2, 1)])
    clash = Clash(0, 1, Conflict.MOVERS, 1, 2)
    assert result.clashes == (() if sense > 0 else (clash,))


@pytest.mark.parametrize("broken", [0, 1])
def test_a_governor_whose_set_speed_cannot_be_used_drives_nothing_and_stops_no_other(broken):
    case = mechanism(
        [mover(8), governor(5), governor(7), SHAFT, SHAFT],
        [(0, 1, 1), (0, 2, 1)],
        governed=[(1, 3, 1), (2, 4, 1)],
    )
    column = case.parts.column(Field.SET_RPM).copy()
    column[1 + broken] = -1
    parts = replace(case.parts, fields={**case.parts.fields, Field.SET_RPM: column})
    networks = group_networks(parts, case.couplings)
    result = solve_networks(parts, case.couplings, networks, Policy())
    speeds = [result.speed_rpm(part) for part in (3, 4)]
    assert speeds == ([0, 7] if broken == 0 else [5, 0])
    assert result.clashes == ()


def test_a_network_that_never_settles_stops_no_other_and_the_search_ends():
    # The zone of parts 0 to 2 drives what stops it, and holds another zone at rest all the while.
    never = [mover(8), governor(4), SHAFT, governor(0), mover(8), governor(0), SHAFT, SHAFT]
    couplings = [(0, 1, 1), (2, 3, 1), (4, 5, 1)]
    governed = [(1, 2, 1), (3, 0, 1), (5, 6, 1)]
    # Part 7 joins the two by a governor of each.
    joined = [*never, governor(5), governor(5)]
    couplings += [(4, 8, 1), (2, 9, 1)]
    governed += [(8, 7, 1), (9, 7, 1)]
    other = len(joined)
    parts = [*joined, mover(8), governor(20), SHAFT]
    couplings.append((other, other + 1, 1))
    governed.append((other + 1, other + 2, 1))
    result = solved(parts, couplings, governed)
    assert result.conflict.tolist() == [Conflict.GOVERNORS, Conflict.NONE]
    assert result.speed_rpm(other + 2) == 20


@pytest.mark.parametrize("speeds", [(0, 5), (0, -5), (5, 0), (-5, 0)])
@pytest.mark.parametrize("far", [1, Fraction(2) ** 300])
def test_rest_and_any_speed_are_a_conflict_even_where_speeds_are_out_of_range(speeds, far):
    parts = [mover(8), *map(governor, speeds), SHAFT, SHAFT]
    result = solved(parts, [(0, 1, 1), (0, 2, 1), (3, 4, far)], [(1, 3, 1), (2, 3, 1)])
    assert result.conflict.tolist() == [Conflict.GOVERNORS]


def test_a_governor_inside_a_zone_at_rest_or_out_of_range_is_held_to_nothing():
    at_rest = solved([SHAFT, governor(5), SHAFT], [(0, 1, 1), (1, 2, 1)], [(1, 2, 1)])
    assert (at_rest.clashes, at_rest.state[0]) == ((), State.IDLE)
    far = [(0, 1, 1), (1, 2, Fraction(2) ** 300)]
    beyond = solved([mover(8), governor(5), SHAFT], far, [(1, 2, 1)])
    assert (beyond.clashes, beyond.motion[0]) == ((), Motion.OUT_OF_RANGE)
    # A zone that a governor holds at rest beside a mover's zone.
    held = solved(
        [mover(8), governor(0), governor(5), SHAFT], [(0, 1, 1), (2, 3, 1)], [(1, 2, 1), (2, 3, 1)]
    )
    assert held.clashes == ()


@pytest.mark.parametrize("ratio", [Fraction(-3, 2), Fraction(3, 2)])
@pytest.mark.parametrize("rated", [8, -8])
def test_a_followed_sense_passes_through_the_mesh_at_the_governed_port(rated, ratio):
    parts = [mover(rated), governor(20, follows=True), SHAFT]
    result = solved(parts, [(0, 1, 1)], [(1, 2, ratio)])
    assert result.speed_rpm(2) == (20 if rated > 0 else -20) * ratio
