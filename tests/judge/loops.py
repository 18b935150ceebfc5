"""Loops that contradict themselves, found by trying, and shortest ways between parts."""

from __future__ import annotations

from collections import deque
from collections.abc import Hashable
from fractions import Fraction
from typing import NamedTuple


class Edge(NamedTuple):
    """A coupling between two nodes: b turns at `ratio` per turn of a."""

    a: Hashable
    b: Hashable
    ratio: Fraction


Steps = dict[Hashable, list[tuple[Hashable, Fraction]]]


def steps_from(edges: list[Edge]) -> Steps:
    """Return for each node where one can go from it, and at what ratio."""
    steps: Steps = {}
    for a, b, ratio in edges:
        steps.setdefault(a, []).append((b, ratio))
        steps.setdefault(b, []).append((a, 1 / ratio))
    return steps


def reached(start: Hashable, steps: Steps, without: Hashable = None) -> dict[Hashable, int]:
    """Return every node that can be reached, with its distance in couplings."""
    far = {start: 0}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for there, _ in steps.get(here, []):
            if there not in far and there != without:
                far[there] = far[here] + 1
                waiting.append(there)
    return far


def balanced(edges: list[Edge]) -> bool:
    """Return whether speeds exist that satisfy every coupling and are not all zero.

    The couplings must hang together.
    """
    if not edges:
        return True
    steps = steps_from(edges)
    speed = {edges[0].a: Fraction(1)}
    waiting = deque(speed)
    while waiting:
        here = waiting.popleft()
        for there, ratio in steps[here]:
            if there not in speed:
                speed[there] = speed[here] * ratio
                waiting.append(there)
    return all(speed[b] == ratio * speed[a] for a, b, ratio in edges)


def blocks(edges: list[Edge]) -> list[list[Edge]]:
    """Return the biconnected blocks of couplings that hang together.

    By definition: two couplings are in different blocks if and only if taking away one node parts
    them. So each node is taken away in turn.
    """
    steps = steps_from(edges)
    labels: list[list[Hashable]] = [[] for _ in edges]
    for gone in steps:
        piece: dict[Hashable, Hashable] = {}
        for node in steps:
            if node != gone and node not in piece:
                piece.update(dict.fromkeys(reached(node, steps, without=gone), node))
        for label, edge in zip(labels, edges, strict=True):
            label.append(piece[edge.b if edge.a == gone else edge.a])
    grouped: dict[tuple[Hashable, ...], list[Edge]] = {}
    for label, edge in zip(labels, edges, strict=True):
        grouped.setdefault(tuple(label), []).append(edge)
    return list(grouped.values())


def shortest_unbalanced_loop(edges: list[Edge]) -> int:
    """Return how many couplings the shortest loop has whose ratios do not multiply to 1.

    From every node every walk is followed, the shortest first, that comes to a node at a speed at
    which no walk came there before; the first walk home at another speed than 1 is the loop.
    (A shortest such walk visits no node twice: else it would fall into two closed walks, and one
    of them would be unbalanced and shorter.)

    Raises
    ------
    ValueError
        Where every loop is balanced.
    """
    steps = steps_from(edges)
    best: int | None = None
    for home in steps:
        seen = {(home, Fraction(1))}
        front = [(home, Fraction(1))]
        length = 0
        while front and (best is None or length + 1 < best):
            length += 1
            further = []
            for here, speed in front:
                for there, ratio in steps[here]:
                    arrival = (there, speed * ratio)
                    if arrival not in seen:
                        seen.add(arrival)
                        further.append(arrival)
            front = further
            if any(node == home for node, _ in front):
                best = length
                break
    if best is None:
        raise ValueError("every loop is balanced")
    return best
