"""Graphs of couplings to be grouped: shapes with names, and shapes left to chance."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

import networkx as nx
import numpy as np

from analyzer.networks.group import group_networks
from analyzer.networks.networks import Networks
from tests.support.mechanism import SHAFT, couplings_table, parts_table


@dataclass(frozen=True)
class Joined:
    """Parts 0 to n - 1, and what joins them.

    Parameters
    ----------
    couplings
        Two parts, the first the smaller, and the state of the first one's switch in which they are
        coupled; None where they always are.
    governed
        A governor and the part at its governed port.
    states
        Which switches are on; None for a part that is no switch.
    """

    parts: int
    couplings: list[tuple[int, int, bool | None]]
    governed: list[tuple[int, int]]
    states: list[bool | None]

    def engaged(self) -> Iterator[tuple[int, int]]:
        """Iterate over the pairs that are coupled as the switches stand."""
        for a, b, when in self.couplings:
            if when is None or when == self.states[a]:
                yield a, b

    def grouped(self) -> Networks:
        """Have the tool group them, whatever their ratios."""
        rows = [(a, b, Fraction(n % 7 + 2, 3)) for n, (a, b, _) in enumerate(self.couplings)]
        guards = [-1 if when is None else int(when) for _, _, when in self.couplings]
        held = [(part, other, 1) for part, other in self.governed]
        states = [-1 if state is None else int(state) for state in self.states]
        return group_networks(
            parts_table([SHAFT] * self.parts),
            couplings_table(rows, governed=held, guards=guards),
            np.array(states, np.int8),
        )


#: Shapes whose components are easily got wrong: none, singles, long ways, rings, many paths.
SHAPES: Mapping[str, Callable[[], nx.Graph]] = {
    "nothing": nx.Graph,
    "one part": lambda: nx.empty_graph(1),
    "parts that touch nothing": lambda: nx.empty_graph(40),
    "a line of shafts": lambda: nx.path_graph(300),
    "a ring": lambda: nx.cycle_graph(101),
    "a wheel with many pinions": lambda: nx.star_graph(60),
    "a wall of gears": lambda: nx.grid_2d_graph(12, 15),
    "all with all": lambda: nx.complete_graph(18),
    "a tree": lambda: nx.balanced_tree(3, 4),
    "a cube of seven dimensions": lambda: nx.hypercube_graph(7),
    "rings held together by lines": lambda: nx.connected_caveman_graph(8, 6),
    "rings apart": lambda: nx.disjoint_union_all([nx.cycle_graph(n) for n in range(3, 14)]),
    "a ladder": lambda: nx.circular_ladder_graph(40),
    "the dodecahedron": nx.dodecahedral_graph,
}


def shape(name: str) -> Joined:
    """Return a shape by its name, its parts numbered by chance."""
    graph = SHAPES[name]()
    draw = random.Random(name)
    numbers = dict(zip(graph, draw.sample(range(len(graph)), len(graph)), strict=True))
    pairs = sorted(sorted((numbers[a], numbers[b])) for a, b in graph.edges)
    return Joined(len(graph), [(a, b, None) for a, b in pairs], [], [None] * len(graph))


def chance(seed: int) -> Joined:
    """Draw some parts, some of them switches or governors, about as many couplings, and so on."""
    draw = random.Random(seed)
    parts = draw.randint(2, 120)
    states = [draw.choice((None, None, True, False)) for _ in range(parts)]

    def pair() -> list[int]:
        return sorted(draw.sample(range(parts), 2))

    couplings: list[tuple[int, int, bool | None]] = []
    for _ in range(round(parts * draw.choice((0.3, 0.6, 0.9, 1.3)))):
        a, b = pair()
        when = None if states[a] is None else draw.choice((None, True, False))
        # Now and then a pair is coupled more than once.
        couplings += [(a, b, when)] * draw.choice((1, 1, 1, 2))
    governed = [draw.sample(range(parts), 2) for _ in range(draw.randint(0, parts // 4))]
    return Joined(
        parts,
        sorted(couplings, key=lambda row: row[:2]),
        sorted((part, other) for part, other in governed),
        states,
    )
