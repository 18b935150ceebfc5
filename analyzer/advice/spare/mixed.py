"""A good choice of gears made of two plans: one within the capacity, one beyond it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analyzer.advice.spare.kinds import Edge
from analyzer.advice.spare.pieces import Piece
from analyzer.advice.spare.priced import Choice, Market, Plan, Pricing


def mixed(trunk: Piece, market: Market, pricing: Pricing) -> tuple[Choice, int]:
    """Follow the plan beyond the capacity where there is power for it, else the one within.

    Parameters
    ----------
    trunk, market
        The drive.
    pricing
        The two plans.

    Returns
    -------
    choice, worth
        The gears, and what they are worth. What power is left then goes to the pieces at the ends.
    """
    within, beyond, stakes, kinds = pricing.within, pricing.beyond, market.stakes, market.kinds
    choice: Choice = {}
    ends: list[tuple[int, Edge, int]] = []
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
            choice[id(child)] = option
            waiting.append((child, onward, own))
            if not kinds.edges[edge.behind]:
                ends.append((id(child), edge, state))
    worth += _spread(choice, ends, market, left)
    return {piece: option for piece, option in choice.items() if option}, worth


def _spread(
    choice: Choice, ends: Sequence[tuple[int, Edge, int]], market: Market, left: int
) -> int:
    """Give to each piece at an end what it can use of the power that is left."""
    stakes, gained = market.stakes, 0
    for piece, edge, state in ends:
        onward = edge.onward[:, state]
        options = np.flatnonzero(np.append(stakes.fits[edge.behind], False)[onward])
        worth = stakes.worth[edge.behind, onward[options]] - stakes.pair * (options > 0)
        demand = stakes.demand[edge.behind, onward[options]]
        now = int(np.flatnonzero(options == choice[piece])[0])
        affordable = demand - demand[now] <= left
        best = int(np.argmax(np.where(affordable, worth, worth.min() - 1)))
        if worth[best] > worth[now]:
            choice[piece] = int(options[best])
            gained += int(worth[best] - worth[now])
            left -= int(demand[best] - demand[now])
    return gained


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
