"""The shortest loop of couplings that contradicts itself.

Source: C. Thomassen, *Embeddings of graphs with no short noncontractible cycles*, J. Combin. Theory
Ser. B 48 (1990) 155-177, cited from memory: where any two of the three loops made by three paths
between two points being balanced makes the third one so, a shortest unbalanced loop through a part
is a fundamental loop of a breadth-first tree rooted there. Ratios have that property.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final, TypeAlias

from analyzer.findings.chain import Chain
from analyzer.findings.graph import Neighbours
from analyzer.findings.twist import Twists

#: Couplings looked at in one search before a shorter loop is no longer sought: so many, and so many
#: more for each coupling searched. The first lets small searches end; the second keeps the time in
#: proportion to the size of what is searched (about 0.4 µs a coupling looked at).
WORK_BASE: Final = 100_000
WORK_PER_COUPLING: Final = 30

#: The part before and the coupling to it, of each part reached; the source has (-1, -1).
_Via: TypeAlias = dict[int, tuple[int, int]]


class LoopSearch:
    """The search of one biconnected block for its shortest unbalanced loop.

    Every unbalanced loop holds a disagreeing coupling, so the shortest one runs through one of a
    set of parts that touches them all. From each of those the couplings are searched breadth
    first, in order of position; all to a small radius before any to a wider one, since one short
    loop anywhere bounds the search everywhere.

    Parameters
    ----------
    neighbours
        The couplings of the block.
    twists
        The twists of its disagreeing couplings.
    work
        Most couplings to look at; None for the bound above.
    """

    def __init__(self, neighbours: Neighbours, twists: Twists, work: int | None = None) -> None:
        self._neighbours = neighbours
        self._twists = twists
        size = sum(map(len, neighbours.values())) // 2
        self._work = WORK_BASE + WORK_PER_COUPLING * size if work is None else work
        self._best: Chain | None = None

    def run(self, ends: Sequence[tuple[int, int]]) -> Chain | None:
        """Return the shortest unbalanced loop.

        Parameters
        ----------
        ends
            The two parts of each disagreeing coupling of the block.

        Returns
        -------
        Chain or None
            ``shortest`` is False where the bound on work was met first; None where it was met
            before any loop was found.
        """
        sources = _touching_all(ends)
        radius = 1
        while self._work > 0:
            unfinished = [source for source in sources if self._search(source, radius)]
            if not unfinished or (self._best and len(self._best.parts) <= 2 * radius + 1):
                break
            sources, radius = unfinished, 2 * radius
        if self._best is None:
            return None
        return canonical(self._best, shortest=self._work > 0)

    def _search(self, source: int, radius: int) -> bool:
        """Search to a radius; tell whether a shorter loop may still be found farther out."""
        along, back = self._twists.along, self._twists.back
        distance = {source: 0}
        twist = {source: 0}
        via: _Via = {source: (-1, -1)}
        frontier = [source]
        for depth in range(radius):
            if not frontier or (self._best and 2 * depth + 1 >= len(self._best.parts)):
                return False
            reached: list[int] = []
            for part in frontier:
                neighbours = self._neighbours[part]
                self._work -= len(neighbours)
                arrived, carried = via[part][1], twist[part]
                for other, coupling in neighbours:
                    if coupling == arrived:
                        continue
                    step = (along if part < other else back).get(coupling)
                    turned = carried if step is None else self._twists.times(carried, step)
                    if other not in distance:
                        distance[other] = depth + 1
                        twist[other] = turned
                        via[other] = (part, coupling)
                        reached.append(other)
                    elif twist[other] != turned:
                        self._offer(depth + distance[other] + 1, via, (part, other, coupling))
            if self._work <= 0:
                return False
            frontier = reached
        return bool(frontier)

    def _offer(self, length: int, via: _Via, closing: tuple[int, int, int]) -> None:
        if self._best is None or length < len(self._best.parts):
            part, other, coupling = closing
            self._best = close_loop(trail(via, part), trail(via, other), coupling)


def trail(via: _Via, part: int) -> list[tuple[int, int]]:
    """Return (part, coupling towards the source) from a part back to its source."""
    steps = []
    while part >= 0:
        before, coupling = via[part]
        steps.append((part, coupling))
        part = before
    return steps


def close_loop(
    left: Sequence[tuple[int, int]], right: Sequence[tuple[int, int]], coupling: int
) -> Chain:
    """Return the loop of two trails to one source and the coupling between their first parts.

    What the trails share before they part is left out: it is gone along and back again.
    """
    shared = 1
    while shared < min(len(left), len(right)) and left[-shared - 1] == right[-shared - 1]:
        shared += 1
    out, home = left[: len(left) - shared], right[: len(right) - shared]
    # From where they part, out along the left trail, over the coupling, and home by the right.
    parts = [left[-shared][0], *(part for part, _ in reversed(out)), *(part for part, _ in home)]
    couplings = [*(c for _, c in reversed(out)), coupling, *(c for _, c in home)]
    return Chain("loop", tuple(parts), tuple(couplings))


def canonical(loop: Chain, *, shortest: bool) -> Chain:
    """Turn a loop to start at its smallest part and go towards its smaller neighbour.

    A loop of two parts starts along its smaller coupling.
    """
    first = loop.parts.index(min(loop.parts))
    parts = loop.parts[first:] + loop.parts[:first]
    couplings = loop.couplings[first:] + loop.couplings[:first]
    if (parts[-1], couplings[-1]) < (parts[1], couplings[0]):
        parts = parts[:1] + parts[:0:-1]
        couplings = couplings[::-1]
    return Chain("loop", parts, couplings, shortest)


def _touching_all(pairs: Sequence[tuple[int, int]]) -> list[int]:
    """Return parts, ascending, of which every pair holds one: the busier end of each pair."""
    touched = Counter(part for pair in pairs for part in pair)
    return sorted({min(pair, key=lambda part: (-touched[part], part)) for pair in pairs})
