"""Where the shafts of a power diagram stand: in columns by their distance from the movers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from analyzer.report.drawing.power_diagram import PowerDiagram, ShaftGroup, Transfer

#: Most shafts that are drawn, and most columns; the nearest to the movers are.
MOST_SHAFTS: Final = 300
MOST_COLUMNS: Final = 40

BOX_WIDTH: Final = 230.0
COLUMN_GAP: Final = 110.0
_ROW_GAP: Final = 20.0
_LINE: Final = 16.0
_HEAD: Final = 40.0


@dataclass(frozen=True)
class Box:
    """One shaft, or several alike that hang on one other, on the paper.

    Parameters
    ----------
    shaft
        Place of the first in the diagram.
    group
        What it is.
    alike
        How many there are, it among them.
    column
        Steps from the movers.
    left, top, height
        Where it stands.
    """

    shaft: int
    group: ShaftGroup
    alike: int
    column: int
    left: float
    top: float
    height: float

    @property
    def middle(self) -> float:
        """Where its middle is down the paper."""
        return self.top + self.height / 2


@dataclass(frozen=True)
class Layout:
    """Boxes, the transfers between them by place in `boxes`, the size, and what was left out."""

    boxes: tuple[Box, ...]
    transfers: tuple[tuple[int, int, Transfer], ...]
    width: float
    height: float
    left_out: int


def lay_out(diagram: PowerDiagram) -> Layout:
    """Return where the shafts of a diagram stand, from the movers to the right.

    Shafts alike that hang on one shaft by like transfers, and drive nothing further, are one box.
    """
    forest = _Forest(diagram)
    alike = forest.alike()
    drawn = [shaft for shaft in forest.order if shaft in alike][:MOST_SHAFTS]
    kept = {shaft for shaft in drawn if forest.column[shaft] < MOST_COLUMNS}
    tops, height = _tops(diagram, forest, kept)
    boxes = tuple(
        Box(
            shaft=shaft,
            group=diagram.shafts[shaft],
            alike=alike[shaft],
            column=forest.column[shaft],
            left=forest.column[shaft] * (BOX_WIDTH + COLUMN_GAP),
            top=tops[shaft],
            height=_height(diagram.shafts[shaft]),
        )
        for shaft in drawn
        if shaft in kept
    )
    place = {box.shaft: number for number, box in enumerate(boxes)}
    columns = max((box.column for box in boxes), default=0) + 1
    return Layout(
        boxes=boxes,
        transfers=tuple(
            (place[one.a], place[one.b], one)
            for one in diagram.transfers
            if one.a in place and one.b in place
        ),
        width=columns * BOX_WIDTH + (columns - 1) * COLUMN_GAP,
        height=height,
        left_out=len(diagram.shafts) - sum(box.alike for box in boxes),
    )


def _height(group: ShaftGroup) -> float:
    return _HEAD + _LINE * (len(group.movers) + len(group.machines))


class _Forest:
    """The shafts breadth first from those with movers."""

    def __init__(self, diagram: PowerDiagram) -> None:
        self._diagram = diagram
        self._neighbours: dict[int, list[tuple[int, Transfer]]] = defaultdict(list)
        for one in diagram.transfers:
            self._neighbours[one.a].append((one.b, one))
            self._neighbours[one.b].append((one.a, one))
        self.column: dict[int, int] = {}
        self.parent: dict[int, int] = {}
        self.children: dict[int, list[int]] = defaultdict(list)
        self.order: list[int] = []
        self.roots: list[int] = []
        for starts in self._starts():
            self._grow([one for one in starts if one not in self.column])

    def _starts(self) -> list[list[int]]:
        shafts = self._diagram.shafts
        drives = [
            number
            for number, group in enumerate(shafts)
            if any(mover.power is not None for mover in group.movers)
        ]
        movers = [number for number, group in enumerate(shafts) if group.movers]
        return [drives or movers[:1], *([number] for number in range(len(shafts)))]

    def _grow(self, frontier: list[int]) -> None:
        self.roots += frontier
        self.order += frontier
        self.column |= dict.fromkeys(frontier, 0)
        while frontier:
            reached = []
            for shaft in frontier:
                for other, _ in self._neighbours[shaft]:
                    if other not in self.column:
                        self.column[other] = self.column[shaft] + 1
                        self.parent[other] = shaft
                        self.children[shaft].append(other)
                        reached.append(other)
            self.order += reached
            frontier = reached

    def alike(self) -> dict[int, int]:
        """Return how many shafts each one that is drawn stands for."""
        groups: dict[object, list[int]] = defaultdict(list)
        for shaft in self.order:
            groups[self._likeness(shaft)].append(shaft)
        for members in groups.values():
            for other in members[1:]:
                self.children[self.parent[other]].remove(other)
        return {members[0]: len(members) for members in groups.values()}

    def _likeness(self, shaft: int) -> object:
        links = self._neighbours[shaft]
        group = self._diagram.shafts[shaft]
        if shaft not in self.parent or len(links) != 1 or group.movers:
            return shaft
        ((other, transfer),) = links
        forwards = transfer.a == other
        machines = tuple((one.look, one.count, one.power) for one in group.machines)
        speed: Fraction | None = group.speed_rpm
        return (
            other,
            transfer.kind,
            transfer.ratio,
            transfer.count,
            forwards,
            group.parts,
            group.axis,
            speed,
            machines,
        )


def _tops(diagram: PowerDiagram, forest: _Forest, kept: set[int]) -> tuple[dict[int, float], float]:
    """Return where each box begins, each beside the middle of those that hang on it."""
    heights: dict[int, float] = {}
    for shaft in reversed([one for one in forest.order if one in kept]):
        below = _stack([heights[child] for child in forest.children[shaft] if child in kept])
        heights[shaft] = max(_height(diagram.shafts[shaft]), below)
    tops: dict[int, float] = {}
    at = 0.0
    waiting: list[tuple[int, float]] = []
    for root in forest.roots:
        if root in kept:
            waiting.append((root, at))
            at += heights[root] + _ROW_GAP
    while waiting:
        shaft, top = waiting.pop()
        tops[shaft] = top + (heights[shaft] - _height(diagram.shafts[shaft])) / 2
        children = [child for child in forest.children[shaft] if child in kept]
        down = top + (heights[shaft] - _stack([heights[child] for child in children])) / 2
        for child in children:
            waiting.append((child, down))
            down += heights[child] + _ROW_GAP
    return tops, max(at - _ROW_GAP, 0.0)


def _stack(heights: Sequence[float]) -> float:
    return sum(heights) + _ROW_GAP * max(len(heights) - 1, 0)
