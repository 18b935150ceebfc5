"""Where an assembly falls apart behind a part: a trunk with all that drives, and passive pieces.

A piece hangs on the rest by one part alone and holds no mover and no governor, so all that it
knows of the rest is how fast that part turns. It is explored once, whatever the rest does.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from analyzer.switching.levers import Lever
from analyzer.switching.subject import Subject

#: Most pairs of coupled parts in an assembly for it to be taken apart.
MOST_PAIRS: Final = 100_000
#: Greatest power of two that is told apart from more.
_MOST_BITS: Final = 900


@dataclass(frozen=True)
class Piece:
    """What hangs behind one part: that part, all parts with it, ascending, and its levers."""

    entry: int
    rows: tuple[int, ...]
    levers: tuple[int, ...]


@dataclass(frozen=True)
class Split:
    """The parts and levers that are explored together, and the pieces behind them."""

    rows: tuple[int, ...]
    levers: tuple[int, ...]
    pieces: tuple[Piece, ...]


def split_subject(subject: Subject) -> Split:
    """Take a subject apart so that few states have to be solved.

    Parameters
    ----------
    subject
        Parts of one assembly.

    Returns
    -------
    Split
        The trunk holds every mover and governor, and what lies between them. It takes in the
        beginning of a piece where that makes fewer states in all.
    """
    pairs = _pairs(subject)
    if len(pairs) > MOST_PAIRS:
        return whole(subject)
    tree = _Tree(subject, pairs)
    tree.grow()
    return tree.split()


def whole(subject: Subject) -> Split:
    """Leave a subject in one."""
    return Split(tuple(range(len(subject.parts))), tuple(sorted(subject.levers)), ())


def count_states(levers: Iterable[Lever]) -> float:
    """Return how many states some levers have; infinite beyond the greatest double."""
    bits = sum(math.log2(len(lever.settings)) for lever in levers)
    return math.inf if bits > _MOST_BITS else float(round(2.0**bits))


def _pairs(subject: Subject) -> list[tuple[int, int]]:
    couplings, table = subject.couplings, subject.couplings.governed
    a, b = np.concatenate([couplings.a, table.part]), np.concatenate([couplings.b, table.other])
    both = np.stack([np.minimum(a, b), np.maximum(a, b)], axis=1)
    return [(a, b) for a, b in np.unique(both, axis=0).tolist()]


class _Tree:
    """Cells of couplings that stay together, and the parts at which they meet: a tree.

    A cell is a biconnected block, or several of them where one lever throws couplings of each.
    """

    def __init__(self, subject: Subject, pairs: Sequence[tuple[int, int]]) -> None:
        self._subject = subject
        cell_of = _cells(subject, pairs)
        count = max(cell_of.values(), default=-1) + 1
        self._parts: list[set[int]] = [set() for _ in range(count)]
        self._levers: list[list[int]] = [[] for _ in range(count)]
        self._at: dict[int, set[int]] = {}
        for (a, b), cell in cell_of.items():
            self._parts[cell] |= {a, b}
            self._at.setdefault(a, set()).add(cell)
            self._at.setdefault(b, set()).add(cell)
        core_parts, core_cells = self._core(cell_of)
        start = min(core_parts, default=0)
        self._trunk: set[int] = set()
        self._trunk_parts = {start}
        self._hang(start)
        for cell in sorted(core_cells):
            self._take_way_to(cell)
        for part in sorted(core_parts):
            if part != start:
                self._take_way_to(self._above_part[part])

    def _core(self, cell_of: dict[tuple[int, int], int]) -> tuple[set[int], set[int]]:
        """Return the parts and cells that belong to the trunk; tell each cell its levers."""
        subject = self._subject
        types = subject.parts.catalogues.types
        kinds = subject.parts.type.tolist()
        parts = {row for row, kind in enumerate(kinds) if types[kind].role == "mover"}
        cells = set()
        table = subject.couplings.governed
        for part, other in zip(table.part.tolist(), table.other.tolist(), strict=True):
            cells.add(cell_of[min(part, other), max(part, other)])
        self.loose: list[int] = []
        for key, lever in subject.levers.items():
            touched = {cell_of[pair] for pair in subject.guarded_pairs.get(lever.part, ())}
            if lever.pinned:
                parts.add(lever.part)
                cells |= touched
            if touched:
                self._levers[min(touched)].append(key)
            else:
                self.loose.append(key)
        return parts, cells

    def _hang(self, start: int) -> None:
        """Find what lies above each cell and part, seen from the start."""
        self._above_part = {start: -1}
        self._above_cell: dict[int, int] = {}
        self._below: dict[int, list[int]] = {}
        queue = [start]
        for part in queue:
            for cell in sorted(self._at.get(part, ())):
                if cell in self._above_cell:
                    continue
                self._above_cell[cell] = part
                for other in sorted(self._parts[cell]):
                    if other not in self._above_part:
                        self._above_part[other] = cell
                        queue.append(other)
        self._order = list(self._above_cell)
        self._bits = {cell: self._own_bits(cell) for cell in self._order}
        for cell in reversed(self._order):
            above = self._above_part[self._above_cell[cell]]
            if above >= 0:
                self._below.setdefault(above, []).append(cell)
                self._bits[above] += self._bits[cell]

    def _own_bits(self, cell: int) -> float:
        return sum(_bits(self._subject, key) for key in self._levers[cell])

    def _take_way_to(self, cell: int) -> None:
        while cell >= 0 and cell not in self._trunk:
            self._take(cell)
            cell = self._above_part[self._above_cell[cell]]

    def _take(self, cell: int) -> None:
        self._trunk.add(cell)
        self._trunk_parts |= self._parts[cell]

    def grow(self) -> None:
        """Take in cells without levers, and lead cells of pieces while that saves states."""
        edge = [
            item
            for cell in self._order
            if self._hangs(cell)
            for item in ([self._item(cell)] if self._own_bits(cell) else self._take_free(cell))
        ]
        heapq.heapify(edge)
        trunk = sum(self._own_bits(cell) for cell in self._trunk)
        trunk += sum(_bits(self._subject, key) for key in self.loose)
        pieces = sum(_power(-bits) for bits, _ in edge)
        while edge:
            bits, cell = edge[0]
            own = self._own_bits(cell)
            behind = self._frontier(cell)
            fewer = pieces - _power(-bits) + sum(_power(-bits) for bits, _ in behind)
            if _power(trunk + own) + fewer >= _power(trunk) + pieces:
                return
            heapq.heappop(edge)
            self._take(cell)
            for below in self._below.get(cell, ()):
                if not self._own_bits(below):
                    self._take_free(below)
            for item in behind:
                heapq.heappush(edge, item)
            trunk, pieces = trunk + own, fewer

    def _take_free(self, cell: int) -> list[tuple[float, int]]:
        """Take in a cell without levers and all such behind it; return what then hangs."""
        self._take(cell)
        taken = [cell]
        for one in taken:
            for below in self._below.get(one, ()):
                if not self._own_bits(below):
                    self._take(below)
                    taken.append(below)
        return self._frontier(cell)

    def _frontier(self, cell: int) -> list[tuple[float, int]]:
        """Return the first cells with levers behind a cell."""
        found, queue = [], [cell]
        for one in queue:
            for below in self._below.get(one, ()):
                if self._own_bits(below):
                    found.append(self._item(below))
                else:
                    queue.append(below)
        return found

    def _item(self, cell: int) -> tuple[float, int]:
        return -self._bits[cell], cell

    def _hangs(self, cell: int) -> bool:
        """Tell whether a cell is the first of a piece."""
        return cell not in self._trunk and self._above_cell[cell] in self._trunk_parts

    def split(self) -> Split:
        """Return what came of it."""
        pieces = []
        for cell in self._order:
            if self._hangs(cell):
                cells = [cell]
                for one in cells:
                    cells += self._below.get(one, ())
                rows = set().union(*(self._parts[one] for one in cells))
                levers = sorted(key for one in cells for key in self._levers[one])
                pieces.append(Piece(self._above_cell[cell], tuple(sorted(rows)), tuple(levers)))
        trunk = [key for cell in self._trunk for key in self._levers[cell]]
        return Split(
            rows=tuple(sorted(self._trunk_parts)),
            levers=tuple(sorted([*trunk, *self.loose])),
            pieces=tuple(sorted(pieces, key=lambda one: (one.entry, one.rows))),
        )


def _bits(subject: Subject, lever: int) -> float:
    return math.log2(len(subject.levers[lever].settings))


def _power(bits: float) -> float:
    return float(2.0 ** min(bits, _MOST_BITS))


def _cells(subject: Subject, pairs: Sequence[tuple[int, int]]) -> dict[tuple[int, int], int]:
    """Number the cell of each pair of coupled parts."""
    import networkx as nx

    graph = nx.Graph()
    graph.add_edges_from(pairs)
    block = {}
    for number, edges in enumerate(nx.biconnected_component_edges(graph)):
        for a, b in edges:
            block[min(a, b), max(a, b)] = number
    above = list(range(len(block)))

    def root(number: int) -> int:
        while above[number] != number:
            above[number] = number = above[above[number]]
        return number

    for lever in subject.levers.values():
        touched = sorted({root(block[pair]) for pair in subject.guarded_pairs.get(lever.part, ())})
        for number in touched[1:]:
            above[root(number)] = root(touched[0])
    numbers: dict[int, int] = {}
    return {pair: numbers.setdefault(root(block[pair]), len(numbers)) for pair in pairs}
