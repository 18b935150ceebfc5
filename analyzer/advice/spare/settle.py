"""The best choice of gears for all pieces of a drive within a capacity."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

import numpy as np

from analyzer.advice.spare.fronts import WORK, Fronts, TooMuchError
from analyzer.advice.spare.kinds import Edge, Kinds, Numbers
from analyzer.advice.spare.pieces import Piece
from analyzer.advice.spare.priced import Market, Plan, Pricing, Stakes
from analyzer.advice.spare.program import Row, solve_program

#: Most variables of a program: a drive with more is settled by a price alone.
MOST_VARIABLES: Final = 4_000

#: Option of the coupling before each piece that has gears, by the piece's `id`.
Choice: TypeAlias = dict[int, int]
#: What `Market.outer` gives.
Outer: TypeAlias = tuple[Numbers, Numbers]


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
    choice, found = _mixed(trunk, market, pricing)
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
    program = _Program(market, pricing, outer, start.found)
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


def _mixed(trunk: Piece, market: Market, pricing: Pricing) -> tuple[Choice, int]:
    """Follow the plan beyond the capacity where there is power for it, else the one within."""
    within, beyond, stakes, kinds = pricing.within, pricing.beyond, market.stakes, market.kinds
    choice: Choice = {}
    worth = within.worth
    left = stakes.capacity - within.demand
    sums = [] if beyond is None else [_Sums(market, plan) for plan in (within, beyond)]
    waiting: list[tuple[Piece, int, Plan]] = [(trunk, 0, within)]
    for piece, state, plan in waiting:
        edges = {edge.behind: edge for edge in kinds.edges[kinds.of_piece[id(piece)]]}
        for child in piece.behind:
            edge, own = edges[kinds.of_piece[id(child)]], plan
            option, onward = plan.step(edge, state)
            if beyond is not None and plan is within:
                bold, further = beyond.step(edge, state)
                old, new = sums[0].of(edge.behind, onward), sums[1].of(edge.behind, further)
                more = new[0] - old[0] + stakes.pair * (bool(option) - bool(bold))
                if more > 0 and new[1] - old[1] <= left:
                    option, onward, own = bold, further, beyond
                    worth, left = worth + more, left - new[1] + old[1]
            if option:
                choice[id(child)] = option
            waiting.append((child, onward, own))
    return choice, worth


class _Sums:
    """Worth and demand of a piece with all behind it, after a plan."""

    def __init__(self, market: Market, plan: Plan) -> None:
        self._market, self._plan = market, plan
        self._known: dict[tuple[int, int], tuple[int, int]] = {}

    def of(self, kind: int, state: int) -> tuple[int, int]:
        waiting = [(kind, state)]
        while waiting:
            here = waiting[-1]
            if here in self._known:
                waiting.pop()
                continue
            steps = [
                (edge, *self._plan.step(edge, here[1]))
                for edge in self._market.kinds.edges[here[0]]
            ]
            missing = [
                (edge.behind, onward)
                for edge, _, onward in steps
                if (edge.behind, onward) not in self._known
            ]
            if missing:
                waiting += missing
                continue
            self._known[here] = self._summed(here, steps)
            waiting.pop()
        return self._known[kind, state]

    def _summed(self, here: tuple[int, int], steps: list[tuple[Edge, int, int]]) -> tuple[int, int]:
        stakes = self._market.stakes
        worth, demand = int(stakes.worth[here]), int(stakes.demand[here])
        for edge, option, onward in steps:
            more, power = self._known[edge.behind, onward]
            worth += edge.count * (more - (stakes.pair if option else 0))
            demand += edge.count * power
        return worth, demand


class _Program:
    """How many pieces of each kind take which option: what may come up to a worth already found."""

    def __init__(self, market: Market, pricing: Pricing, outer: Outer, found: int) -> None:
        self._market, self._kinds, self._stakes = market, market.kinds, market.stakes
        self._moves = self._kept(pricing, outer, found)

    def solved(self) -> tuple[tuple[int, ...], int | None] | None:
        """Return how often each move is made and the bound of the worth; None where too much."""
        if self._moves is None:
            return None
        rows, most = self._rows(), [self._market.count[edge.behind] for edge, *_ in self._moves]
        fixed = int(self._stakes.worth[self._kinds.trunk, 0])
        worths = [self._worth(move) for move in self._moves]
        answer = solve_program(worths, rows, most)
        if answer is None:
            return None
        bound = None if answer.bound is None else answer.bound + fixed
        for further in (
            [-bool(option) for _, _, option, _ in self._moves],
            [-self._demand(move) for move in self._moves],
        ):
            every = np.arange(len(worths))
            rows.append(Row(every, worths, answer.found, None))
            next_answer = solve_program(further, rows, most)
            if next_answer is None:
                break
            answer, worths = next_answer, further
        return answer.values, bound

    def worth_of(self, values: tuple[int, ...]) -> int:
        """Return what moves are worth together with the trunk."""
        assert self._moves is not None
        total = int(self._stakes.worth[self._kinds.trunk, 0])
        moved = zip(self._moves, values, strict=True)
        return total + sum(self._worth(move) * value for move, value in moved)

    def choice(self, trunk: Piece, values: tuple[int, ...]) -> Choice:
        """Hand the moves out to the pieces, from the trunk on."""
        assert self._moves is not None
        pool: dict[tuple[int, int, int], list[list[int]]] = {}
        for (edge, state, option, onward), value in zip(self._moves, values, strict=True):
            if value:
                key = (edge.ahead, edge.behind, state)
                pool.setdefault(key, []).append([option, onward, value])
        choice: Choice = {}
        waiting = [(trunk, 0)]
        for piece, state in waiting:
            for child in piece.behind:
                pair = (self._kinds.of_piece[id(piece)], self._kinds.of_piece[id(child)])
                left = pool[(*pair, state)]
                option, onward, _ = left[0]
                left[0][2] -= 1
                if not left[0][2]:
                    left.pop(0)
                if option:
                    choice[id(child)] = option
                waiting.append((child, onward))
        return choice

    def _kept(
        self, pricing: Pricing, bounds: Outer, found: int
    ) -> list[tuple[Edge, int, int, int]] | None:
        """Return (edge, state, option, state behind) of moves that may come up to what is found."""
        kinds, values, scale = self._kinds, pricing.values, 1 << pricing.shift
        never = values[0, -1]
        least = (found << pricing.shift) - pricing.price * self._stakes.capacity
        outer, best = bounds
        moves: list[tuple[Edge, int, int, int]] = []
        for ahead in range(kinds.trunk, -1, -1):
            here = np.flatnonzero((outer[ahead, :-1] != never) & self._stakes.fits[ahead])
            for edge in kinds.edges[ahead]:
                gained = self._market.gained(values, scale, edge, here)
                rest = outer[ahead, here] + values[ahead, here] - best[edge.number, here]
                options, columns = np.nonzero((gained != never) & (rest + gained >= least))
                if len(moves) + len(options) > MOST_VARIABLES:
                    return None
                ends = edge.onward[options, here[columns]]
                table = zip(here[columns].tolist(), options.tolist(), ends.tolist(), strict=True)
                moves += [(edge, *move) for move in table]
        return moves

    def _rows(self) -> list[Row]:
        """Return what has to hold: each piece has one state, and the demand is met."""
        assert self._moves is not None
        into: dict[tuple[int, int], list[int]] = {}
        out: dict[tuple[int, int], dict[int, list[int]]] = {}
        for number, (edge, state, _, onward) in enumerate(self._moves):
            into.setdefault((edge.behind, onward), []).append(number)
            out.setdefault((edge.ahead, state), {}).setdefault(edge.behind, []).append(number)
        rows = []
        for ahead, behind in enumerate(self._kinds.edges):
            for state in range(self._stakes.worth.shape[1]):
                here = (ahead, state)
                if here not in into and not (ahead == self._kinds.trunk and state == 0):
                    continue
                for edge in behind:
                    outward = out.get(here, {}).get(edge.behind, [])
                    inward = into.get(here, [])
                    by = [1] * len(outward) + [-edge.count] * len(inward)
                    given = edge.count if ahead == self._kinds.trunk else 0
                    rows.append(Row(np.array(outward + inward, np.int64), by, given, given))
        every = np.arange(len(self._moves))
        fixed = int(self._stakes.demand[self._kinds.trunk, 0])
        power = [self._demand(move) for move in self._moves]
        rows.append(Row(every, power, None, self._stakes.capacity - fixed))
        return rows

    def _worth(self, move: tuple[Edge, int, int, int]) -> int:
        edge, _, option, onward = move
        cost = self._stakes.pair if option else 0
        return int(self._stakes.worth[edge.behind, onward]) - cost

    def _demand(self, move: tuple[Edge, int, int, int]) -> int:
        edge, _, _, onward = move
        return int(self._stakes.demand[edge.behind, onward])
