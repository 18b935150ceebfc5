"""Spare power: no choice of gears is better, with as few pairs and as little power."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction
from typing import TypeAlias

import pytest

from analyzer.advice.spare import priced, settle
from analyzer.advice.spare.best import best_choice
from analyzer.advice.spare.pieces import Piece, Ratios, in_order
from analyzer.advice.spare.spare import Goal, Optimum
from tests.advice.builds import iter_draws

RATIOS = [Fraction(1, 2), Fraction(3, 4), Fraction(1), Fraction(4, 3), Fraction(3, 2), Fraction(2)]
EACH = 250
#: Pieces with their factor: of those still to be geared with how many pairs lie before them, of
#: those that are with whether a pair stands before them.
Way: TypeAlias = list[tuple[Piece, Fraction, int]]


def random_drive(draw: random.Random, pieces: int, *, long: bool) -> Piece:
    """Draw a tree of pieces: shafts, machines, some with limits or a sense to keep."""
    made = [Piece()]
    for number in range(1, pieces):
        piece = Piece(coupling=(number, number), fits=draw.choice("aaaab"))
        if draw.random() < 0.1:
            piece.fits = None
        rpm = Fraction(draw.choice((4, 8, 8, 12)))
        if draw.random() < (0.2 if long else 0.6):
            piece.worth = rpm * draw.choice((1, 1, 1, 0, 2))
            piece.demand = rpm * draw.choice((1, 2, 4, 4, 8))
            piece.lower = draw.choice((Fraction(1), Fraction(1), Fraction(1, 2), None))
            piece.share = rpm / 32
        if draw.random() < 0.5:
            piece.upper = draw.choice((Fraction(1), Fraction(2), Fraction(5, 2), Fraction(4)))
        piece.keeps_sense = draw.random() < 0.1
        if draw.random() < 0.2:
            piece.ahead_rpm, piece.behind_rpm = Fraction(8), rpm
        draw.choice(made[-1:] if long else made[-3:]).behind.append(piece)
        made.append(piece)
    return made[0]


def random_ratios(draw: random.Random) -> Ratios:
    """Draw the pairs of gears of two classes, some of whose gears have a limit."""
    pairs = {
        fits: {ratio: (f"{fits}{ratio}", "-") for ratio in sorted(draw.sample(RATIOS, count))}
        for fits, count in (("a", draw.choice((1, 2, 3))), ("b", draw.choice((0, 1))))
    }
    limits = {
        name: draw.choice((None, Fraction(16)))
        for own in pairs.values()
        for name, _ in own.values()
    }
    return Ratios(pairs, {**limits, "-": None})


def iter_choices(trunk: Piece, ratios: Ratios, steps: int) -> Iterator[Way]:
    """Yield, for each way to put gears that keeps to all limits, factor and pairs of each piece."""

    def grown(left: Way, done: Way) -> Iterator[Way]:
        if not left:
            yield done
            return
        (piece, factor, used), *rest = left
        for ratio in (None, *ratios.pairs.get(piece.fits or "", {})):
            if ratio is not None:
                limit = ratios.limit(piece.fits, ratio)
                turning = max(piece.ahead_rpm * factor, piece.behind_rpm * factor * ratio)
                if used == steps or (piece.behind_rpm and limit is not None and turning > limit):
                    continue
            here, pairs = factor * (ratio or 1), used + (ratio is not None)
            good = (piece.upper is None or here <= piece.upper) and (
                piece.lower is None or here >= piece.lower
            )
            if good and not (piece.keeps_sense and pairs % 2):
                behind = [(child, here, pairs) for child in piece.behind]
                own = (piece, here, 1 if ratio is not None else 0)
                yield from grown(rest + behind, [*done, own])

    first = [(child, Fraction(1), 0) for child in trunk.behind]
    yield from grown(first, [(trunk, Fraction(1), 0)])


def reached(choice: Way, goal: str) -> Fraction:
    """Return what a choice comes to."""
    if goal == "throughput":
        return sum((piece.worth * factor for piece, factor, _ in choice), Fraction(0))
    shares = [piece.share * factor for piece, factor, _ in choice if piece.share is not None]
    return min(shares, default=Fraction(0))


def asked(choice: Way) -> Fraction:
    """Return the demand of a choice."""
    return sum((piece.demand * factor for piece, factor, _ in choice), Fraction(0))


def judged(draw: random.Random, goal: Goal, *, long: bool = False) -> Optimum:
    """Draw a drive and hold what is chosen against every other choice."""
    pieces = draw.choice((7, 8, 9)) if long else draw.choice((3, 4, 5, 5, 6))
    trunk, ratios = random_drive(draw, pieces, long=long), random_ratios(draw)
    steps = 1 if long else draw.choice((0, 1, 2, 2, 3))
    demand = sum((piece.demand for piece in in_order(trunk)), Fraction(0))
    capacity = demand + draw.choice((0, 4, 8, Fraction(49, 3), 32, 64, 200))
    ways = [way for way in iter_choices(trunk, ratios, steps) if asked(way) <= capacity]
    best = max((reached(way, goal), -sum(n for *_, n in way), -asked(way)) for way in ways)
    kept = {id(piece): (piece, list(piece.behind), piece.upper) for piece in in_order(trunk)}
    found = best_choice(trunk, ratios, goal=goal, steps=steps, capacity=capacity)
    assert found is not None
    for piece, behind, upper in kept.values():
        # The drive was shortened while gears were sought.
        piece.behind, piece.upper = behind, upper
    geared = {
        piece.coupling: found.ratios[key]
        for key, (piece, _, _) in kept.items()
        if key in found.ratios
    }
    (way,) = (way for way in iter_choices(trunk, ratios, steps) if gears_of(way) == geared)
    assert found.optimum.found == found.optimum.bound == best[0]
    assert best == (reached(way, goal), -sum(n for *_, n in way), -asked(way))
    return found.optimum


def gears_of(way: Way) -> dict[tuple[int, int] | None, Fraction]:
    """Return the ratio at each coupling that has gears."""
    factor = {id(piece): one for piece, one, _ in way}
    has = {id(piece) for piece, _, own in way if own}
    return {
        child.coupling: factor[id(child)] / factor[id(piece)]
        for piece, _, _ in way
        for child in piece.behind
        if id(child) in has
    }


@pytest.mark.parametrize("goal", ["throughput", "even"])
@pytest.mark.parametrize("seed", range(4))
def test_no_other_gears_would_be_better_or_fewer_or_ask_for_less(goal: Goal, seed: int) -> None:
    by = [judged(draw, goal).by for draw in iter_draws(40 + seed, EACH)]
    assert by.count("limits") < EACH - EACH // 10


@pytest.mark.parametrize("goal", ["throughput", "even"])
def test_in_long_rows_no_other_gears_would_be_better(goal: Goal) -> None:
    for draw in iter_draws(50, EACH):
        judged(draw, goal, long=True)


@pytest.mark.parametrize("goal", ["throughput", "even"])
def test_the_integer_program_settles_what_is_not_looked_at(
    goal: Goal, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settle, "WORK", 0)
    by = [judged(draw, goal).by for draw in iter_draws(60, EACH)]
    assert goal == "even" or by.count("program") > EACH // 25


@pytest.mark.parametrize("seed", range(2))
def test_numbers_beyond_64_bits_are_settled_as_well(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(priced, "_LARGEST", 10)
    for draw in iter_draws(70 + seed, 100):
        judged(draw, "throughput")
