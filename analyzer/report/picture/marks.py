"""Findings on a view: a shape, a number and a colour by level, and the chain of a witness."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise
from typing import Final

from analyzer.base.policy import Level
from analyzer.findings.findings import Finding
from analyzer.report.drawing.sheet import Mark
from analyzer.report.picture.inks import LEVELS, PAPER
from analyzer.report.picture.paper import Paper
from analyzer.report.picture.shapes import Board, Point

#: Half the height of the flag that has a finding's number.
FLAG: Final = 9.0


def draw_marks(board: Board, paper: Paper, findings: tuple[tuple[Mark, Finding, str], ...]) -> None:
    """Lay the findings of a view on a board, the gravest on top."""
    for mark, _, _ in reversed(findings):
        if len(mark.chain) > 1:
            _chain(board, paper, mark)
    for mark, _, _ in reversed(findings):
        chain = set(mark.chain)
        for number, at in enumerate(mark.places):
            # The chain shows its own parts.
            if paper.inside(at) and not (number and at in chain):
                draw_outline(board, mark.level, paper.at(at), max(0.52 * paper.cell, 6.0))
    taken: Counter[Point] = Counter()
    for number, (mark, _, _) in enumerate(findings, 1):
        if mark.places and paper.inside(mark.places[0]):
            x, y = paper.at(mark.places[0])
            step = taken[x, y]
            taken[x, y] += 1
            half = max(0.56 * paper.cell, 6.0)
            draw_flag(board, mark.level, (x + half + step * 2.4 * FLAG, y - half), number)


def draw_outline(board: Board, level: Level, centre: Point, half: float) -> None:
    """Lay an outline on a board: a square on its corner, a triangle, or a circle."""
    ink = LEVELS[level]
    x, y = centre
    if level is Level.NOTE:
        board.circle(centre, 1.1 * half, ink, width=2.2)
    else:
        board.line(_corners(level, x, y, 1.25 * half), ink, width=2.2, closed=True)


def draw_flag(board: Board, level: Level, centre: Point, number: int) -> None:
    """Lay a finding's number on a board, in the shape of its level."""
    x, y = centre
    ink = LEVELS[level]
    if level is Level.NOTE:
        board.circle(centre, FLAG, PAPER, width=1.4, fill=ink)
    else:
        board.line(_corners(level, x, y, 1.25 * FLAG), PAPER, width=1.4, closed=True, fill=ink)
    size = 10.0 if number < 10 else 8.0
    low = y + (5.5 if level is Level.WARNING else 3.6)
    board.text((x, low), str(number), size, PAPER, anchor="middle", bold=True)


def _corners(level: Level, x: float, y: float, reach: float) -> list[Point]:
    if level is Level.ERROR:
        return [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]
    low = y + 0.75 * reach
    return [(x, y - 1.05 * reach), (x + 1.1 * reach, low), (x - 1.1 * reach, low)]


def _chain(board: Board, paper: Paper, mark: Mark) -> None:
    ink = LEVELS[mark.level]
    blocks = [*mark.chain, mark.chain[0]] if mark.closed else list(mark.chain)
    points = [paper.at(block) for block in blocks]
    board.line(points, PAPER, width=5.0)
    board.line(points, ink, width=2.4, dash=(7.0, 4.0))
    for (x, y), (to_x, to_y) in pairwise(points):
        length = math.hypot(to_x - x, to_y - y)
        if length > 9:
            draw_head(board, ((x + to_x) / 2, (y + to_y) / 2), (to_x - x, to_y - y), 6.5, ink)


def draw_head(board: Board, tip: Point, towards: Point, size: float, ink: str) -> None:
    """Lay the head of an arrow on a board, its middle at a point."""
    length = math.hypot(*towards)
    ax, ay = towards[0] / length, towards[1] / length
    x, y = tip
    board.line(
        [
            (x + ax * size * 0.6, y + ay * size * 0.6),
            (x - ax * size * 0.5 - ay * size * 0.5, y - ay * size * 0.5 + ax * size * 0.5),
            (x - ax * size * 0.5 + ay * size * 0.5, y - ay * size * 0.5 - ax * size * 0.5),
        ],
        None,
        closed=True,
        fill=ink,
    )
