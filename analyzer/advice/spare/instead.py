"""What would be better than what is advised, one coupling geared otherwise, and what it lacks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from analyzer.advice.spare.best import Best
from analyzer.advice.spare.pieces import Piece, Ratios, in_order

#: Most that are told.
MOST: Final = 3


@dataclass(frozen=True)
class Other:
    """Other gears before one piece: their ratio, the worth reached, and the power that lacks."""

    piece: Piece
    ratio: Fraction
    worth: Fraction
    short_power: Fraction


@dataclass(eq=False)
class _Whole:
    """A piece with all behind it as advised: what it comes to, and how it may change further."""

    worth: Fraction
    demand: Fraction
    pairs: int
    upper: Fraction | None
    keeps_sense: bool


def others(best: Best, ratios: Ratios, *, steps: int, capacity: Fraction) -> tuple[Other, ...]:
    """Return the changes to one coupling that are better and ask for too much.

    Parameters
    ----------
    best
        What is advised.
    ratios
        The pairs of gears.
    steps
        Most pairs on the way to any part.
    capacity
        Most demand.

    Returns
    -------
    tuple
        All else as advised, and all limits kept. Those that lack least power first; none where
        limits stand in the way of all.
    """
    order = in_order(best.trunk)
    factor, used = {id(best.trunk): Fraction(1)}, {id(best.trunk): 0}
    for piece in order:
        for child in piece.behind:
            ratio = best.ratios.get(id(child))
            factor[id(child)] = factor[id(piece)] * (ratio or 1)
            used[id(child)] = used[id(piece)] + (ratio is not None)
    wholes: dict[int, _Whole] = {}
    for piece in reversed(order):
        wholes[id(piece)] = _whole(piece, factor[id(piece)], used[id(piece)], wholes)
    whole = wholes[id(best.trunk)]
    found = []
    for piece in order[1:]:
        behind = wholes[id(piece)]
        if not (behind.worth and behind.demand):
            continue
        enough = 1 + (capacity - whole.demand) / behind.demand
        for ratio, change in _changes(piece, behind, best.ratios, ratios, steps):
            if change > enough and _is_borne(piece, ratio, factor[id(piece)] * change, ratios):
                worth = whole.worth + behind.worth * (change - 1)
                found.append(Other(piece, ratio, worth, behind.demand * (change - enough)))
                # A greater change lacks more.
                break
    found.sort(key=lambda one: (one.short_power, -one.worth, one.piece.coupling or (0, 0)))
    return tuple(found[:MOST])


def _whole(piece: Piece, factor: Fraction, used: int, wholes: Mapping[int, _Whole]) -> _Whole:
    behind = [wholes[id(child)] for child in piece.behind]
    uppers = [one.upper for one in behind if one.upper is not None]
    uppers += [] if piece.upper is None else [piece.upper / factor]
    return _Whole(
        worth=piece.worth * factor + sum((one.worth for one in behind), Fraction(0)),
        demand=piece.demand * factor + sum((one.demand for one in behind), Fraction(0)),
        pairs=max([used, *(one.pairs for one in behind)]),
        upper=min(uppers, default=None),
        keeps_sense=piece.keeps_sense or any(one.keeps_sense for one in behind),
    )


def _changes(
    piece: Piece, behind: _Whole, chosen: Mapping[int, Fraction], ratios: Ratios, steps: int
) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield greater ratios for a coupling, ascending, with the factor that all behind it takes."""
    now = chosen.get(id(piece))
    more = now is None
    if behind.pairs + more > steps or (more and behind.keeps_sense):
        return
    if behind.upper is not None and behind.upper <= 1:
        return
    for ratio in ratios.pairs.get(piece.fits or "", {}):
        change = ratio / (now or 1)
        if change > 1 and (behind.upper is None or change <= behind.upper):
            yield ratio, change


def _is_borne(piece: Piece, ratio: Fraction, factor: Fraction, ratios: Ratios) -> bool:
    """Tell whether the gears would turn no faster than they may; `factor` is that behind them."""
    limit = ratios.limit(piece.fits or "", ratio)
    if limit is None or not piece.behind_rpm:
        return True
    return max(piece.ahead_rpm * factor / ratio, piece.behind_rpm * factor) <= limit
