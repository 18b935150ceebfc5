"""Which way parts turn, and how fast: arrows and numbers on a view."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from typing import Final, TypeAlias

from analyzer.base.exact import decimal_text
from analyzer.report.drawing.views import surface_arrow, turns_counterclockwise
from analyzer.report.picture.inks import PAPER
from analyzer.report.picture.marks import draw_head
from analyzer.report.picture.paper import Paper
from analyzer.report.picture.shapes import Board, Point, width_of

#: Left, upper, right and lower edge.
Area: TypeAlias = tuple[float, float, float, float]

#: Areas by the squares of the paper that they lie in.
_Areas: TypeAlias = dict[tuple[int, int], list[Area]]

#: Smallest cell with a number beside it.
LEAST_NUMBERED: Final = 8.0
#: Smallest cell in which an arrow can be seen.
_LEAST_CELL: Final = 13.0
_SIZE: Final = 12.0
#: Colour of speeds.
_SPEED: Final = "#1d5e4a"


def draw_arrow(board: Board, paper: Paper, centre: Point, axis: int, rpm: Fraction) -> None:
    """Lay on a board which way a part turns.

    Across the axis it is the way in which the side that faces whoever looks moves; along the axis
    it is the turn itself. Nothing for a part at rest, or where cells are small.
    """
    sign = (rpm > 0) - (rpm < 0)
    if not sign or paper.cell < _LEAST_CELL:
        return
    along = paper.along(axis)
    x, y = centre
    if along == (0, 0):
        _turn(board, centre, 0.3 * paper.cell, ccw=turns_counterclockwise(paper.view, sign))
        return
    dx, dy = surface_arrow(paper.view, axis, sign)
    reach, off = 0.36 * paper.cell, 0.3 * paper.cell
    x, y = x + along[0] * off, y + along[1] * off
    tail = (x - dx * reach, y - dy * reach)
    board.line([tail, (x + dx * reach * 0.6, y + dy * reach * 0.6)], PAPER, width=4.0)
    board.line([tail, (x + dx * reach * 0.6, y + dy * reach * 0.6)], _SPEED, width=1.6)
    draw_head(board, (x + dx * reach * 0.7, y + dy * reach * 0.7), (dx, dy), 6.0, _SPEED)


def _turn(board: Board, centre: Point, radius: float, *, ccw: bool) -> None:
    sense = -1 if ccw else 1
    x, y = centre
    ring = [
        (x + radius * math.cos(sense * turn), y + radius * math.sin(sense * turn))
        for turn in (step * math.pi / 8 for step in range(-2, 9))
    ]
    board.line(ring, PAPER, width=4.0)
    board.line(ring, _SPEED, width=1.6)
    (bx, by), (tx, ty) = ring[-2:]
    draw_head(board, (tx, ty), (tx - bx, ty - by), 6.0, _SPEED)


def rpm_text(rpm: Fraction) -> str:
    """Return the size of a speed: its sense is the arrow's.

    >>> rpm_text(Fraction(-16)), rpm_text(Fraction(16, 3))
    ('16', '~5.33')
    """
    return decimal_text(abs(rpm))


class Numbers:
    """Places numbers beside parts where they cover neither a part nor another number."""

    def __init__(self, board: Board, cell: float) -> None:
        self._board = board
        self._cell = cell
        self._parts: _Areas = defaultdict(list)
        self._numbers: _Areas = defaultdict(list)

    def keep_free(self, area: Area) -> None:
        """Say where something stands that no number is to cover."""
        self._enter(self._parts, area)

    def place(self, centre: Point, text: str) -> None:
        """Lay a number on the board at the best place beside a part, if one is free of numbers."""
        areas = list(self._places(centre, width_of(text, _SIZE)))
        free = [area for area in areas if not self._covered(self._numbers, area)]
        if not free:
            return
        best = min(free, key=partial(self._covered, self._parts))
        self._enter(self._numbers, best)
        at = ((best[0] + best[2]) / 2, best[3] - 2)
        self._board.text(at, text, _SIZE, _SPEED, anchor="middle", bold=True, halo=PAPER)

    def _places(self, centre: Point, wide: float) -> Iterator[Area]:
        high = _SIZE * 0.75 + 4
        x, y = centre
        for off in (0.5 * self._cell, 1.0 * self._cell):
            for right, down in (
                (0, -1),
                (0, 1),
                (-1, -1),
                (1, -1),
                (-1, 1),
                (1, 1),
                (-1, 0),
                (1, 0),
            ):
                across = right * (off * 0.55 + wide / 2 if down else off + wide / 2)
                middle = (x + across, y + down * (off + high / 2))
                yield (
                    middle[0] - wide / 2,
                    middle[1] - high / 2,
                    middle[0] + wide / 2,
                    middle[1] + high / 2,
                )

    def _enter(self, areas: _Areas, area: Area) -> None:
        for bucket in self._buckets(area):
            areas[bucket].append(area)

    def _covered(self, areas: _Areas, area: Area) -> int:
        near = [one for bucket in self._buckets(area) for one in areas.get(bucket, ())]
        return sum(_overlap(area, one) for one in near)

    @staticmethod
    def _buckets(area: Area) -> Iterator[tuple[int, int]]:
        for across in range(int(area[0] // 64), int(area[2] // 64) + 1):
            for down in range(int(area[1] // 64), int(area[3] // 64) + 1):
                yield across, down


def _overlap(one: Area, other: Area) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
