"""What a price leaves of the choices of gears, as an integer program."""

from __future__ import annotations

from typing import Final

import numpy as np

from analyzer.advice.spare.kinds import Edge
from analyzer.advice.spare.pieces import Piece
from analyzer.advice.spare.priced import Choice, Market, Outer, Pricing
from analyzer.advice.spare.program import Row, solve_program

#: Most variables of a program: a drive with more is settled by a price alone.
MOST_VARIABLES: Final = 4_000


class Program:
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
