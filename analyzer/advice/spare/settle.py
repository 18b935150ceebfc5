"""The best choice of gears for all pieces of a drive within a capacity."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from analyzer.advice.spare.fronts import WORK, Fronts, TooMuchError
from analyzer.advice.spare.kinds import Kinds
from analyzer.advice.spare.mixed import mixed
from analyzer.advice.spare.moves import Program
from analyzer.advice.spare.pieces import Piece
from analyzer.advice.spare.priced import Choice, Market, Outer, Pricing, Stakes


@dataclass(frozen=True, eq=False)
class Settled:
    """A choice that keeps to the capacity.

    Parameters
    ----------
    choice
        Where gears are put.
    found, bound
        What it is worth, in whole numbers, and what nothing goes above.
    by
        How the bound is known.
    """

    choice: Choice
    found: int
    bound: int
    by: Literal["limits", "price", "enumeration", "program"]


def settle(trunk: Piece, kinds: Kinds, stakes: Stakes) -> Settled | None:
    """Choose gears so that the worth is greatest, with the fewest pairs and the least demand.

    Parameters
    ----------
    trunk
        The drive.
    kinds
        Its kinds.
    stakes
        What is made greatest.

    Returns
    -------
    Settled or None
        None where nothing keeps to the capacity. Where a program would be too large the pairs may
        not be the fewest, nor the worth the greatest: the bound tells.

    Notes
    -----
    A price on power gives a bound. What cannot come up to the best choice so far at that price is
    left out (fixing by reduced costs). The rest is looked at piece by piece, or, where that would
    be too much, settled by an integer program.
    """
    market = Market(kinds, stakes)
    pricing = market.priced()
    if pricing is None:
        return None
    by: Literal["limits", "price"] = "price" if pricing.price else "limits"
    choice, found = mixed(trunk, market, pricing)
    start = Settled(choice, found, max(found, pricing.bound), by)
    outer = market.outer(pricing)
    looked, bound = _looked(trunk, market, pricing, outer, start)
    if looked is not None:
        return looked
    if bound < start.bound:
        start = replace(start, bound=max(bound, found), by="enumeration")
    return _programmed(trunk, market, pricing, outer, start)


def _looked(
    trunk: Piece, market: Market, pricing: Pricing, outer: Outer, start: Settled
) -> tuple[Settled | None, int]:
    """Look at all that may come up to the bound, then at all that may come up to less.

    Returns the best, or None where that is too much, and what nothing goes above.
    """
    if pricing.values.dtype == object:
        return None, start.bound
    fronts, bound, margin = Fronts(market, pricing, outer, WORK), start.bound, 0
    try:
        while True:
            least = max(start.found, start.bound - margin)
            best = fronts.best(least)
            if best is not None:
                by = start.by if best[0] == pricing.bound else "enumeration"
                return Settled(fronts.choice(trunk), best[0], best[0], by), best[0]
            bound = least - 1
            margin = max(1, 4 * margin, (start.bound - start.found) // 256)
    except TooMuchError:
        return None, bound


def _programmed(
    trunk: Piece, market: Market, pricing: Pricing, outer: Outer, start: Settled
) -> Settled:
    """Settle by an integer program what is left."""
    program = Program(market, pricing, outer, start.found)
    answer = program.solved()
    if answer is None:
        return start
    values, bound = answer
    found = program.worth_of(values)
    if found < start.found:
        return start
    proven = start.bound if bound is None else min(start.bound, bound)
    by = "program" if proven < start.bound else start.by
    return Settled(program.choice(trunk, values), found, max(found, proven), by)
