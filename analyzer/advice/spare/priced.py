"""Choices of gears with a price on power: a bound of what can be reached, and a good start."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, TypeAlias

import numpy as np

from analyzer.advice.spare.kinds import Edge, Kinds, Mask, Numbers

#: Option of the coupling before each piece that has gears, by the piece's `id`.
Choice: TypeAlias = dict[int, int]
#: What `Market.outer` gives.
Outer: TypeAlias = tuple[Numbers, Numbers]

#: Numbers up to this stay exact in 64 bits, with something below them all.
_LARGEST: Final = 2**60
#: Most prices that are tried.
_ROUNDS: Final = 40


@dataclass(frozen=True, eq=False)
class Stakes:
    """What is to be made greatest, in whole numbers.

    Parameters
    ----------
    worth, demand
        Of a piece of each kind in each state, int, shape (kinds, states).
    fits
        States that a kind may be in, of the same shape.
    pair
        What a pair of gears takes from the worth.
    capacity
        Most demand.
    """

    worth: Numbers
    demand: Numbers
    fits: Mask
    pair: int
    capacity: int


@dataclass(frozen=True, eq=False)
class Plan:
    """A choice for every kind and state, the same for all pieces of a kind.

    Parameters
    ----------
    values
        What each kind with all behind it comes to at the plan's price, by state.
    options
        The option taken behind a piece in each state, by the number of the edge.
    worth, demand
        What the drive comes to.
    """

    values: Numbers
    options: Numbers
    worth: int
    demand: int

    def step(self, edge: Edge, state: int) -> tuple[int, int]:
        """Return the option taken behind a piece in a state, and the state that it leads to."""
        option = int(self.options[edge.number, state])
        return option, int(edge.onward[option, state])


@dataclass(frozen=True, eq=False)
class Pricing:
    """The plans at the best price.

    Parameters
    ----------
    price, shift
        Worth a unit of power: `price` over 2 to the `shift`.
    within
        A plan that keeps to the capacity.
    beyond
        One that does not, and is worth more; None where the greatest worth keeps to it.
    bound
        Nothing that keeps to the capacity is worth more.
    values
        What each kind comes to at the price.
    """

    price: int
    shift: int
    within: Plan
    beyond: Plan | None
    bound: int
    values: Numbers


class Market:
    """Plans for the kinds of a drive at any price of power.

    Notes
    -----
    Lagrangian relaxation of the one constraint that joins the branches; without it a tree is
    settled branch by branch (M. L. Fisher, *The Lagrangian relaxation method for solving integer
    programming problems*, Management Science 27 (1981) 1-18; cited from memory).
    """

    def __init__(self, kinds: Kinds, stakes: Stakes) -> None:
        self.kinds, self.stakes = kinds, stakes
        count = [0] * len(kinds.pieces)
        count[kinds.trunk] = 1
        for behind in reversed(kinds.edges):
            for edge in behind:
                count[edge.behind] += edge.count * count[edge.ahead]
        #: How many pieces there are of each kind.
        self.count = count
        self._edges = sum(map(len, kinds.edges))
        self._here = [np.flatnonzero(fits) for fits in stakes.fits]
        #: Of each edge the states behind, by option and by those that the kind ahead may be in.
        self._onward = [
            edge.onward[:, self._here[edge.ahead]] for behind in kinds.edges for edge in behind
        ]
        self._worth_most = self._most(stakes.worth) + stakes.pair * sum(count)
        self._demand_most = self._most(stakes.demand)

    def priced(self) -> Pricing | None:
        """Return the plans at the best price; None where nothing keeps to the capacity."""
        within = self.plan(0, 1)
        if within.demand > self.stakes.capacity:
            return None
        free = self.plan(1, 0)
        if free.demand <= self.stakes.capacity:
            return Pricing(0, 0, free, None, free.worth, free.values)
        beyond, best = free, Pricing(0, 0, within, free, free.worth, free.values)
        for _ in range(_ROUNDS):
            rate = Fraction(beyond.worth - within.worth, beyond.demand - within.demand)
            if rate <= 0 or best.bound <= within.worth:
                break
            price, shift = self._rounded(rate)
            plan = self.plan(1 << shift, price)
            total = int(plan.values[self.kinds.trunk, 0]) + price * self.stakes.capacity
            if total >> shift < best.bound:
                best = Pricing(price, shift, within, beyond, total >> shift, plan.values)
            if plan.demand <= self.stakes.capacity and plan.worth > within.worth:
                within = plan
            elif self.stakes.capacity < plan.demand < beyond.demand:
                beyond = plan
            else:
                break
        return Pricing(best.price, best.shift, within, beyond, best.bound, best.values)

    def plan(self, scale: int, price: int) -> Plan:
        """Return the best plan where worth counts `scale` and power costs `price` a unit."""
        plan = Plan(*self._values(scale, price), 0, 0)
        count: list[dict[int, int]] = [{} for _ in self.kinds.pieces]
        count[self.kinds.trunk][0] = 1
        worth = demand = 0
        for ahead in range(self.kinds.trunk, -1, -1):
            for state, pieces in sorted(count[ahead].items()):
                worth += pieces * int(self.stakes.worth[ahead, state])
                demand += pieces * int(self.stakes.demand[ahead, state])
                for edge in self.kinds.edges[ahead]:
                    option, onward = plan.step(edge, state)
                    there = count[edge.behind]
                    there[onward] = there.get(onward, 0) + pieces * edge.count
                    worth -= self.stakes.pair * pieces * edge.count if option else 0
        return replace(plan, worth=worth, demand=demand)

    def gained(self, values: Numbers, scale: int, edge: Edge, states: Numbers) -> Numbers:
        """Return what each option is worth, by some states of the piece ahead."""
        worth = values[edge.behind][edge.onward[:, states]]
        if self.stakes.pair:
            worth[1:] -= np.where(worth[1:] == values[0, -1], 0, self.stakes.pair * scale)
        return np.asarray(worth)

    def outer(self, pricing: Pricing) -> tuple[Numbers, Numbers]:
        """Return what a drive comes to at a price, at most, without what lies behind a piece.

        By the kind and the state of that piece; and the most that the piece comes to, by the number
        of the edge that leads to it and the state of the one ahead.
        """
        values, scale = pricing.values, 1 << pricing.shift
        never = values[0, -1]
        outer = np.full(values.shape, never, values.dtype)
        outer[self.kinds.trunk, 0] = 0
        best = np.full((self._edges, values.shape[1] - 1), never, values.dtype)
        for ahead in range(self.kinds.trunk, -1, -1):
            here = np.flatnonzero((outer[ahead, :-1] != never) & self.stakes.fits[ahead])
            for edge in self.kinds.edges[ahead]:
                most = self.gained(values, scale, edge, here).max(axis=0)
                best[edge.number, here] = most
                rest = outer[ahead, here] + values[ahead, here] - most
                for option, ends in enumerate(edge.onward[:, here]):
                    cost = self.stakes.pair * scale if option else 0
                    outer[edge.behind, ends] = np.maximum(outer[edge.behind, ends], rest - cost)
                outer[edge.behind, -1] = never
        return outer, best

    def _values(self, scale: int, price: int) -> tuple[Numbers, Numbers]:
        large = scale * self._worth_most + price * self._demand_most > _LARGEST
        kind = object if large else np.int64
        worth, demand = (one.astype(kind) for one in (self.stakes.worth, self.stakes.demand))
        own = worth * scale - demand * price
        never = -(2**62) if kind is np.int64 else -(2**512)
        values = np.full((len(own), own.shape[1] + 1), never, kind)
        values[:, :-1][self.stakes.fits] = own[self.stakes.fits]
        options = np.zeros((self._edges, own.shape[1]), np.int16)
        cost = self.stakes.pair * scale
        for ahead, behind in enumerate(self.kinds.edges):
            here = self._here[ahead]
            for edge in behind:
                gained = values[edge.behind][self._onward[edge.number]]
                if cost:
                    gained[1:] -= np.where(gained[1:] == never, 0, cost)
                options[edge.number, here] = gained.argmax(axis=0)
                values[ahead, here] += edge.count * gained.max(axis=0)
        return values, options

    def _rounded(self, rate: Fraction) -> tuple[int, int]:
        """Return a rate as a numerator over a power of two, short enough for 64 bits."""
        large = max(self._worth_most, int(rate * self._demand_most)) + 1
        shift = min(40, 58 - large.bit_length())
        if shift < 0 or rate * 2**shift < 256:
            shift = 20 + max(0, (rate.denominator // rate.numerator).bit_length())
        return max(1, round(rate * 2**shift)), shift

    def _most(self, table: Numbers) -> int:
        most = np.where(self.stakes.fits, table, 0).max(axis=1, initial=0)
        return sum(pieces * int(one) for pieces, one in zip(self.count, most, strict=True))
