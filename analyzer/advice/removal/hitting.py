"""The lightest set that touches every unbalanced loop, by integer programs over the loops found.

A set that touches the loops known so far is found by an integer program; where it leaves a loop
unbalanced, that loop is added, and so on. Every such set weighs at least what the program says, so
that the first one that leaves nothing unbalanced is lightest (implicit hitting sets: E.
Moreno-Centeno, R. M. Karp, *The implicit hitting set approach to solve combinatorial optimization
problems*, Operations Research 61 (2013) 453-468; cited from memory).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from typing import Final

import numpy as np

from analyzer.advice.quiet import quiet_milp
from analyzer.advice.removal.gain_graph import By, Removal, Twisted
from analyzer.advice.removal.loops import Loop, Remainder

#: Rounds of programs, nodes of one program, and loops added in one round: bounds of the search
#: that do not depend on the machine's speed.
ROUNDS: Final = 400
NODES: Final = 20_000
LOOPS_A_ROUND: Final = 200
# A bound computed in doubles lies this near an integer where it is one.
_SLACK: Final = 1e-6


def lightest(
    graph: Twisted,
    weights: Sequence[int],
    *,
    by_vertex: bool,
    kept: Collection[int] = (),
    one_of: Collection[int] = (),
    rounds: int = ROUNDS,
) -> Removal | None:
    """Find the lightest set of edges, or of vertices, whose removal balances a graph.

    Parameters
    ----------
    graph
        The graph.
    weights
        Weight of each edge or vertex, at least 1.
    by_vertex
        Whether vertices are removed.
    kept
        Edges or vertices that stay.
    one_of
        Edges or vertices of which one at least stays; none asks for nothing.
    rounds
        Most programs to solve.

    Returns
    -------
    Removal or None
        None where what has to stay contradicts itself, or no set was found in so many rounds.
    """
    search = _Search(graph, weights, by_vertex=by_vertex, kept=kept, one_of=one_of)
    return search.run(rounds)


class _Search:
    def __init__(
        self,
        graph: Twisted,
        weights: Sequence[int],
        *,
        by_vertex: bool,
        kept: Collection[int],
        one_of: Collection[int],
    ) -> None:
        self._graph, self._weights, self._by_vertex = graph, weights, by_vertex
        self._kept, self._one_of = frozenset(kept), tuple(sorted(one_of))
        self._sets: list[frozenset[int]] = []
        self._known: set[frozenset[int]] = set()
        self._best: frozenset[int] | None = None

    def run(self, rounds: int) -> Removal | None:
        chosen: frozenset[int] = frozenset()
        apart = self._add_loops(chosen)
        # Loops apart from each other need a member each.
        bound = sum(min((self._weights[m] for m in one), default=0) for one in apart)
        by: By = "loops"
        self._complete(chosen)
        for _ in range(rounds):
            if self._best is not None and self._weigh(self._best) <= bound:
                break
            found = self._solve()
            if found is None:
                break
            chosen, below = found
            if below > bound:
                bound, by = below, "program"
            if not self._add_loops(chosen):
                self._keep_best(chosen)
                break
            self._complete(chosen)
        if self._best is None:
            return None
        weight = self._weigh(self._best)
        return Removal(tuple(sorted(self._best)), weight, min(bound, weight), by)

    def _members(self, loop: Loop) -> frozenset[int]:
        return frozenset(loop.vertices if self._by_vertex else loop.edges) - self._kept

    def _remainder(self, removed: Collection[int]) -> Remainder:
        left = Remainder(self._graph)
        there = left.vertex_there if self._by_vertex else left.edge_there
        for number in removed:
            there[number] = False
        return left

    def _unbalanced_without(self, removed: Collection[int]) -> bool:
        return self._remainder(removed).clash() is not None

    def _add_loops(self, removed: Collection[int]) -> list[frozenset[int]]:
        """Add loops that a set leaves unbalanced; return those, apart from each other."""
        left = self._remainder(removed)
        found = [
            self._members(loop)
            for loop in left.iter_apart(by_vertex=self._by_vertex, most=LOOPS_A_ROUND)
        ]
        for members in found:
            if members not in self._known:
                self._known.add(members)
                self._sets.append(members)
        return found

    def _complete(self, chosen: frozenset[int]) -> None:
        """Add to a set, greedily, what balances the rest, and keep it if it is lightest so far."""
        whole = set(chosen)
        left = self._remainder(whole)
        while (clash := left.clash()) is not None:
            u, v, _ = self._graph.edges[clash]
            free = {u, v} - self._kept if self._by_vertex else {clash} - self._kept
            if not free:
                return
            one = min(free, key=lambda number: (self._weights[number], number))
            whole.add(one)
            (left.vertex_there if self._by_vertex else left.edge_there)[one] = False
        if not self._one_of or not set(self._one_of) <= whole:
            self._keep_best(self._pruned(whole))

    def _pruned(self, whole: set[int]) -> frozenset[int]:
        """Leave out, the heaviest first, what need not go."""
        for one in sorted(whole, key=lambda number: (-self._weights[number], -number)):
            if len(whole) <= 64 and not self._unbalanced_without(whole - {one}):
                whole = whole - {one}
        return frozenset(whole)

    def _keep_best(self, chosen: frozenset[int]) -> None:
        if self._best is None or self._weigh(chosen) < self._weigh(self._best):
            self._best = chosen

    def _weigh(self, chosen: Collection[int]) -> int:
        return sum(self._weights[number] for number in chosen)

    def _solve(self) -> tuple[frozenset[int], int] | None:
        """Return the lightest set that touches the loops known, and a bound of its weight.

        None where there is no such set, or none was found within the bounds of the search.
        """
        from scipy.optimize import Bounds, LinearConstraint
        from scipy.sparse import csr_array

        if any(not members for members in self._sets):
            return None
        items = sorted(set().union(*self._sets) | set(self._one_of))
        place = {number: column for column, number in enumerate(items)}
        rows = [row for row, members in enumerate(self._sets) for _ in members]
        columns = [place[number] for members in self._sets for number in sorted(members)]
        least = [1.0] * len(self._sets)
        most = [math.inf] * len(self._sets)
        if self._one_of:
            rows += [len(least)] * len(self._one_of)
            columns += [place[number] for number in self._one_of]
            least.append(-math.inf)
            most.append(len(self._one_of) - 1)
        table = csr_array((np.ones(len(rows)), (rows, columns)), shape=(len(least), len(items)))
        fixed = [0.0 if number in self._kept else 1.0 for number in items]
        found = quiet_milp(
            np.array([self._weights[number] for number in items], float),
            constraints=LinearConstraint(table, np.array(least), np.array(most)),
            integrality=np.ones(len(items)),
            bounds=Bounds(np.zeros(len(items)), np.array(fixed)),
            options={"node_limit": NODES, "mip_rel_gap": 0.0},
        )
        if found.x is None:
            return None
        chosen = frozenset(items[column] for column in np.flatnonzero(found.x > 0.5).tolist())
        return chosen, math.ceil(found.mip_dual_bound - _SLACK)
