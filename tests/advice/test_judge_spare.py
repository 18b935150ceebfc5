"""Spare power: no choice of gears is better, with as few pairs and as little power."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

import pytest

from analyzer.advice.spare.best import best_choice
from analyzer.advice.spare.pieces import Piece, Ratios, in_order
from tests.advice.builds import iter_draws

RATIOS = [Fraction(1, 2), Fraction(3, 4), Fraction(1), Fraction(4, 3), Fraction(3, 2), Fraction(2)]
EACH = 250


def random_drive(draw: random.Random, pieces: int) -> Piece:
    """Draw a tree of pieces: shafts, machines, some with limits or a sense to keep."""
    made = [Piece()]
    for number in range(1, pieces):
        piece = Piece(coupling=(number, number), fits=draw.choice("aaaab"))
        if draw.random() < 0.1:
            piece.fits = None
        rpm = Fraction(draw.choice((4, 8, 8, 12)))
        if draw.random() < 0.6:
            piece.worth = rpm * draw.choice((1, 1, 1, 0, 2))
            piece.demand = rpm * draw.choice((1, 2, 4, 4, 8))
            piece.lower = draw.choice((Fraction(1), Fraction(1), Fraction(1, 2), None))
            piece.share = rpm / 32
        if draw.random() < 0.5:
            piece.upper = draw.choice((Fraction(1), Fraction(2), Fraction(5, 2), Fraction(4)))
        piece.keeps_sense = draw.random() < 0.1
        if draw.random() < 0.2:
            piece.ahead_rpm, piece.behind_rpm = Fraction(8), rpm
        draw.choice(made[-3:]).behind.append(piece)
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


def iter_choices(
    trunk: Piece, ratios: Ratios, steps: int
) -> Iterator[list[tuple[Piece, Fraction, int]]]:
    """Yield, for each way to put gears that keeps to all limits, factor and pairs of each piece."""

    def grown(left: list[tuple[Piece, Fraction, int]], done: list[tuple[Piece, Fraction, int]]):
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


def reached(choice: list[tuple[Piece, Fraction, int]], goal: str) -> Fraction:
    """Return what a choice comes to."""
    if goal == "throughput":
        return sum((piece.worth * factor for piece, factor, _ in choice), Fraction(0))
    shares = [piece.share * factor for piece, factor, _ in choice if piece.share is not None]
    return min(shares, default=Fraction(0))


def asked(choice: list[tuple[Piece, Fraction, int]]) -> Fraction:
    """Return the demand of a choice."""
    return sum((piece.demand * factor for piece, factor, _ in choice), Fraction(0))


@pytest.mark.parametrize("goal", ["throughput", "even"])
@pytest.mark.parametrize("seed", range(4))
def test_no_other_gears_would_be_better_or_fewer_or_ask_for_less(goal: str, seed: int) -> None:
    bettered = by_demand = 0
    for draw in iter_draws(40 + seed, EACH):
        trunk, ratios = random_drive(draw, draw.choice((3, 4, 5, 5, 6))), random_ratios(draw)
        steps = draw.choice((0, 1, 2, 2, 3))
        demand = sum((piece.demand for piece in in_order(trunk)), Fraction(0))
        capacity = demand + draw.choice((0, 4, 8, Fraction(49, 3), 32, 64, 200))
        ways = [way for way in iter_choices(trunk, ratios, steps) if asked(way) <= capacity]
        best = max((reached(way, goal), -sum(n for *_, n in way), -asked(way)) for way in ways)
        every = {id(piece): (piece.behind, piece) for piece in in_order(trunk)}
        behind = {key: list(children) for key, (children, _) in every.items()}
        uppers = {key: piece.upper for key, (_, piece) in every.items()}
        found = best_choice(trunk, ratios, goal=goal, steps=steps, capacity=capacity)  # type: ignore[arg-type]
        for key, (_, piece) in every.items():
            piece.behind, piece.upper = behind[key], uppers[key]
        geared = {piece.coupling: found.ratios.get(id(piece)) for piece in in_order(trunk)}
        (way,) = (
            way
            for way in iter_choices(trunk, ratios, steps)
            if all(own == (geared[piece.coupling] is not None) for piece, _, own in way)
            and followed(way, trunk, geared)
        )
        assert (found.optimum.found, found.optimum.bound) == (best[0], best[0])
        assert best == (reached(way, goal), -sum(n for *_, n in way), -asked(way))
        bettered += best[0] > reached(ways[0], goal)
        by_demand += found.optimum.by != "limits"
    assert bettered > EACH // 10
    assert by_demand > EACH // 10


def followed(way: list[tuple[Piece, Fraction, int]], trunk: Piece, geared: object) -> bool:
    """Tell whether a way is the one with given gears."""
    assert isinstance(geared, dict)
    factor = {id(piece): one for piece, one, _ in way}
    return all(
        factor[id(child)] == factor[id(piece)] * (geared[child.coupling] or 1)
        for piece in in_order(trunk)
        for child in piece.behind
    )
