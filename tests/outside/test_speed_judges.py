"""Speeds are what linear algebra says, exactly and in floating point."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from analyzer.findings.case import Case
from analyzer.solution.solution import Conflict
from tests.outside.judged_graphs import SHAPES, shape
from tests.outside.judged_systems import (
    Drawn,
    draw_networks,
    driven_motion,
    floating_motion,
    free_motions,
)
from tests.outside.random_gains import Gain
from tests.support.check import Check, Evidence, Source, checked
from tests.support.mechanism import SHAFT, mechanism, mover

SUBJECT = "Grouping and speeds: reference libraries"
SEEDS = range(4)
EACH = 40
SYMPY = Source(
    Evidence.LIBRARY,
    "sympy: polys.matrices.DomainMatrix.nullspace and rref over the rationals",
    "docs.sympy.org/latest/modules/polys/domainmatrix.html",
)
FREE = Check(
    SUBJECT,
    "SPEED1",
    f"{len(SEEDS) * EACH} random mechanisms of 1 to 4 networks with a mover each",
    "each part turns as the solutions of r·ω_a − ω_b = 0 say, to the scale of the mover's rating;"
    " a network is in conflict just if zero is its only solution",
    SYMPY,
)
DRIVEN = Check(
    SUBJECT,
    "SPEED2",
    f"those of {len(SEEDS) * EACH} such mechanisms that can turn, with movers that agree or do not",
    "the one solution with every rating as a further equation; where there is none, a mover is"
    " dragged or two are in conflict",
    SYMPY,
)
CONNECTED = [name for name in SHAPES if len(shape(name).couplings) > 0 and name != "rings apart"]
RATED_RPM = 64.0
ROUNDING = 1e-11
NO_ERROR_RPM = 1e-9
LEAST_ERROR_RPM = 1e-2
FLOATING = Check(
    SUBJECT,
    "SPEED3",
    f"{len(CONNECTED)} named graphs of up to 300 parts with a hidden speed a part, and the same"
    " with one ratio doubled",
    "the speeds; the errors of the equations are 0 just if there is no conflict",
    Source(
        Evidence.LIBRARY,
        "scipy: sparse.linalg.spsolve of the least-squares system",
        "docs.scipy.org/doc/scipy/reference/generated/scipy.sparse.linalg.spsolve.html",
    ),
    tolerance="1e-11 of each speed; an equation's error below 1e-9 rpm is none",
    why="53 bits: the worst seen were 1.4e-13 and 8e-12 rpm, while a doubled ratio on a loop leaves"
    " more than 0.02 rpm",
)


def _case(drawn: Drawn, rated: dict[int, Fraction]) -> Case:
    parts = [mover(rated[part]) if part in rated else SHAFT for part in range(drawn.parts)]
    return mechanism(parts, drawn.gains)


def _rating(draw: random.Random) -> Fraction:
    return draw.choice((-1, 1)) * Fraction(draw.randint(1, 60), draw.randint(1, 9))


@checked(FREE)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_network_turns_as_the_solutions_of_its_equations_say(seed: int) -> None:
    draw = random.Random(seed)
    locked = turning = 0
    for _ in range(EACH):
        drawn = draw_networks(draw)
        rated = {draw.choice(own): _rating(draw) for own in drawn.members}
        expected: dict[int, Fraction] = {}
        for motion in free_motions(drawn.parts, drawn.gains):
            (driven,) = motion.keys() & rated.keys()
            scale = rated[driven] / motion[driven]
            expected |= {part: scale * speed for part, speed in motion.items()}
        case = _case(drawn, rated)
        solution = case.solution
        for own in drawn.members:
            assert [solution.speed_rpm(part) for part in own] == [expected.get(p) for p in own]
            conflict = solution.conflict[case.networks.network[own[0]]]
            assert conflict == (Conflict.NONE if own[0] in expected else Conflict.LOOP)
            turning += own[0] in expected
            locked += own[0] not in expected
    assert min(locked, turning) > EACH // 4


@checked(DRIVEN)
@pytest.mark.parametrize("seed", SEEDS)
def test_movers_that_agree_are_further_equations(seed: int) -> None:
    draw = random.Random(100 + seed)
    turning = unsolvable = 0
    for _ in range(EACH):
        drawn = draw_networks(draw)
        motions = free_motions(drawn.parts, drawn.gains)
        free = {part for motion in motions for part in motion}
        if len(free) < drawn.parts:
            continue
        rated = {}
        for motion in motions:
            scale = _rating(draw)
            some = draw.sample(sorted(motion), min(len(motion), draw.randint(1, 4)))
            rated |= {part: scale * motion[part] for part in some}
        if draw.random() < 0.5:
            astray = draw.choice(sorted(rated))
            rated[astray] *= draw.choice((-1, 2, Fraction(1, 2)))
        expected = driven_motion(drawn.parts, drawn.gains, rated)
        solution = _case(drawn, rated).solution
        if expected is None:
            assert solution.dragged.any() != (Conflict.MOVERS in solution.conflict)
            unsolvable += 1
        else:
            assert {part: solution.speed_rpm(part) for part in range(drawn.parts)} == expected
            assert not solution.dragged.any()
            turning += 1
    assert min(turning, unsolvable) > 3


@checked(FLOATING)
@pytest.mark.parametrize("name", CONNECTED)
def test_floating_point_gives_the_same_speeds(name: str) -> None:
    parts, gains = _with_hidden_speeds(name)
    solution = mechanism([mover(RATED_RPM)] + [SHAFT] * (parts - 1), gains).solution
    speeds, error = floating_motion(parts, gains, {0: RATED_RPM})
    assert error < NO_ERROR_RPM
    for part in range(parts):
        rpm = solution.speed_rpm(part)
        assert rpm is not None
        assert abs(speeds[part] / float(rpm) - 1) < ROUNDING


@checked(FLOATING)
@pytest.mark.parametrize("name", CONNECTED)
def test_floating_point_finds_errors_just_where_there_is_a_conflict(name: str) -> None:
    parts, gains = _with_hidden_speeds(name)
    draw = random.Random(name)
    for number in draw.sample(range(len(gains)), min(5, len(gains))):
        a, b, ratio = gains[number]
        doubled = [*gains[:number], (a, b, 2 * ratio), *gains[number + 1 :]]
        solution = mechanism([mover(RATED_RPM)] + [SHAFT] * (parts - 1), doubled).solution
        _, error = floating_motion(parts, doubled, {0: RATED_RPM})
        assert (error > LEAST_ERROR_RPM) == (Conflict.LOOP in solution.conflict)
        assert (error < NO_ERROR_RPM) == (Conflict.LOOP not in solution.conflict)


def _with_hidden_speeds(name: str) -> tuple[int, list[Gain]]:
    joined = shape(name)
    draw = random.Random(name)
    speeds = [
        draw.choice((-1, 1)) * Fraction(draw.randint(1, 40), draw.randint(1, 40))
        for _ in range(joined.parts)
    ]
    return joined.parts, [(a, b, speeds[b] / speeds[a]) for a, b, _ in joined.couplings]
