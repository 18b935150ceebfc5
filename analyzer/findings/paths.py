"""The shortest chain between two movers of one zone that want different things."""

from __future__ import annotations

from collections.abc import Hashable, Mapping

from analyzer.findings.chain import Chain
from analyzer.findings.graph import Neighbours
from analyzer.findings.loops import trail


def shortest_path(neighbours: Neighbours, wants: Mapping[int, Hashable]) -> Chain | None:
    """Return the shortest path between two parts whose wishes differ.

    The search starts at all of them at once, in order of position; every part belongs to the one
    that reached it first. Somewhere on a shortest path two neighbours belong to parts of different
    wishes, so the best such pair gives it.

    Parameters
    ----------
    neighbours
        The couplings of the zone.
    wants
        What each of the parts wants; only whether two are equal counts.

    Returns
    -------
    Chain or None
        It runs from the end smaller by position. None where all want the same or none can be
        reached from another; so for an empty input.
    """
    sources = sorted(wants)
    owner = {source: source for source in sources}
    distance = dict.fromkeys(sources, 0)
    via = dict.fromkeys(sources, (-1, -1))
    best: tuple[int, int, int, int] | None = None
    frontier = sources
    depth = 0
    while frontier and (best is None or 2 * depth + 1 < best[0]):
        reached: list[int] = []
        for part in frontier:
            for other, coupling in neighbours.get(part, ()):
                if other not in owner:
                    owner[other] = owner[part]
                    distance[other] = depth + 1
                    via[other] = (part, coupling)
                    reached.append(other)
                elif wants[owner[other]] != wants[owner[part]]:
                    length = depth + distance[other] + 1
                    if best is None or length < best[0]:
                        best = (length, part, other, coupling)
        frontier = reached
        depth += 1
    if best is None:
        return None
    _, part, other, coupling = best
    return _joined(trail(via, part), trail(via, other), coupling)


def _joined(left: list[tuple[int, int]], right: list[tuple[int, int]], coupling: int) -> Chain:
    parts = [*(part for part, _ in reversed(left)), *(part for part, _ in right)]
    # The coupling beside a source is none; each other one leads towards its source.
    couplings = [
        *(number for _, number in reversed(left[:-1])),
        coupling,
        *(number for _, number in right[:-1]),
    ]
    if parts[-1] < parts[0]:
        parts.reverse()
        couplings.reverse()
    return Chain("path", tuple(parts), tuple(couplings))
