"""How a part is drawn: seen along its axis or across it, in a cell of some size."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from analyzer.report.drawing.looks import Symbol
from analyzer.report.picture.inks import INK, MACHINE, MOVER, PAPER
from analyzer.report.picture.shapes import Board, Point

#: What each symbol stands for, in the legend.
NAMES: Final[dict[Symbol, str]] = {
    "mover": "mover",
    "machine": "machine",
    "shaft": "shaft",
    "near gear": "near gear",
    "far gear": "far gear",
    "bevel box": "bevel box",
    "pulley": "pulley",
    "clutch": "clutch",
    "reverser": "reverser",
    "governor": "governor",
}
_TEETH: Final = {"near gear": 10, "far gear": 16}


@dataclass(frozen=True)
class Drawn:
    """One part on the paper.

    Parameters
    ----------
    centre
        Centre of its cell.
    cell
        Side of a cell.
    along
        Which way its axis runs on the paper: (1, 0) or (0, 1); (0, 0) towards whoever looks.
    number
        What is written in a mover or machine; empty for nothing.
    open
        Whether it is a switch that is off.
    """

    centre: Point
    cell: float
    along: tuple[int, int]
    number: str = ""
    open: bool = False


def reach_of(symbol: Symbol, part: Drawn) -> Point:
    """Return how far a symbol reaches from its centre, to the right and down."""
    radius = (0.95 if symbol == "far gear" else 0.46) * part.cell
    if part.along == (0, 0) or symbol not in ("near gear", "far gear", "shaft"):
        return (radius, radius)
    thin = 0.22 * part.cell
    if symbol == "shaft":
        return (radius, thin) if part.along == (1, 0) else (thin, radius)
    return (thin, radius) if part.along == (1, 0) else (radius, thin)


def draw_symbol(board: Board, symbol: Symbol, part: Drawn) -> None:
    """Lay the symbol of a part on a board."""
    match symbol:
        case "mover":
            _body(board, part, MOVER, PAPER)
        case "machine":
            _body(board, part, MACHINE, INK)
        case "near gear" | "far gear":
            _gear(board, part, symbol)
        case "pulley":
            _pulley(board, part)
        case "shaft":
            _shaft(board, part)
        case "bevel box":
            _box(board, part)
            _cross(board, part, 0.34)
        case "clutch":
            _clutch(board, part)
        case "reverser":
            _box(board, part)
            _letter(board, part, "R")
        case "governor":
            x, y = part.centre
            board.circle((x, y), 0.36 * part.cell, INK, width=1.4, fill=PAPER)
            _letter(board, part, "G")


def _body(board: Board, part: Drawn, fill: str, ink: str) -> None:
    half = 0.4 * part.cell
    x, y = part.centre
    if fill == MOVER:
        # A mover has cut corners, so that it is told from a machine without colour.
        cut = 0.16 * part.cell
        corners = [
            (x - half + cut, y - half),
            (x + half - cut, y - half),
            (x + half, y - half + cut),
            (x + half, y + half - cut),
            (x + half - cut, y + half),
            (x - half + cut, y + half),
            (x - half, y + half - cut),
            (x - half, y - half + cut),
        ]
        board.line(corners, INK, width=1.2, closed=True, fill=fill)
    else:
        board.box((x - half, y - half), (x + half, y + half), INK, width=1.2, fill=fill)
    if part.number and part.cell >= 14:
        size = min(0.46 * part.cell, 13.0)
        if len(part.number) > 2:
            size *= 0.75
        board.text((x, y + 0.36 * size), part.number, size, ink, anchor="middle", bold=True)


def _shaft(board: Board, part: Drawn) -> None:
    x, y = part.centre
    if part.along == (0, 0):
        board.circle((x, y), 0.16 * part.cell, INK, width=1.2, fill=PAPER)
        board.circle((x, y), 0.05 * part.cell, None, fill=INK)
        return
    (ax, ay), half, wide = part.along, 0.5 * part.cell, 0.09 * part.cell
    low = (x - ax * half - ay * wide, y - ay * half - ax * wide)
    high = (x + ax * half + ay * wide, y + ay * half + ax * wide)
    board.box(low, high, INK, width=1.0, fill=PAPER)


def _gear(board: Board, part: Drawn, symbol: Symbol) -> None:
    # The pitch line of a far rim lies in the cells round its own.
    radius = (0.46 if symbol == "near gear" else 0.92) * part.cell
    x, y = part.centre
    if part.along == (0, 0):
        board.circle((x, y), radius, INK, width=1.2)
        teeth = _TEETH[symbol]
        for tooth in range(teeth):
            turn = 2 * math.pi * tooth / teeth
            towards = (math.cos(turn), math.sin(turn))
            inner, outer = 0.93 * radius, 1.09 * radius
            ends = [(x + towards[0] * at, y + towards[1] * at) for at in (inner, outer)]
            board.line(ends, INK, width=1.2)
        board.circle((x, y), 0.14 * part.cell, INK, width=1.2, fill=PAPER)
        return
    (ax, ay), thick = part.along, 0.17 * part.cell
    low = (x - ax * thick - ay * radius, y - ay * thick - ax * radius)
    high = (x + ax * thick + ay * radius, y + ay * thick + ax * radius)
    board.box(low, high, INK, width=1.2, fill=PAPER)
    count = max(3, round(radius * 2 / part.cell * 4))
    for tooth in range(1, count):
        at = -radius + 2 * radius * tooth / count
        board.line(
            [
                (x - ax * thick + ay * at, y - ay * thick + ax * at),
                (x + ax * thick + ay * at, y + ay * thick + ax * at),
            ],
            INK,
            width=0.8,
        )


def _pulley(board: Board, part: Drawn) -> None:
    x, y = part.centre
    if part.along == (0, 0):
        board.circle((x, y), 0.42 * part.cell, INK, width=1.2, fill=PAPER)
        board.circle((x, y), 0.3 * part.cell, INK, width=0.8)
        board.circle((x, y), 0.08 * part.cell, None, fill=INK)
        return
    (ax, ay), thick, half = part.along, 0.13 * part.cell, 0.42 * part.cell
    for side in (-1, 1):
        # Two flanges with a groove between them.
        mx, my = x + ax * side * thick, y + ay * side * thick
        ends = [(mx - ay * half, my - ax * half), (mx + ay * half, my + ax * half)]
        board.line(ends, INK, width=1.6)
    inner = 0.3 * part.cell
    low = (x - ax * thick - ay * inner, y - ay * thick - ax * inner)
    high = (x + ax * thick + ay * inner, y + ay * thick + ax * inner)
    board.box(low, high, INK, width=0.8, fill=PAPER)


def _clutch(board: Board, part: Drawn) -> None:
    x, y = part.centre
    if part.along == (0, 0):
        _box(board, part)
        _letter(board, part, "C")
        return
    (ax, ay), half, gap = part.along, 0.34 * part.cell, (0.18 if part.open else 0.07) * part.cell
    for side in (-1, 1):
        near = (x + ax * side * gap, y + ay * side * gap)
        far = (x + ax * side * 0.5 * part.cell, y + ay * side * 0.5 * part.cell)
        board.line([near, far], INK, width=2.0)
        ends = [
            (near[0] - ay * half, near[1] - ax * half),
            (near[0] + ay * half, near[1] + ax * half),
        ]
        board.line(ends, INK, width=2.0)


def _box(board: Board, part: Drawn) -> None:
    x, y = part.centre
    half = 0.34 * part.cell
    board.box((x - half, y - half), (x + half, y + half), INK, width=1.2, fill=PAPER)


def _cross(board: Board, part: Drawn, reach: float) -> None:
    x, y = part.centre
    half = reach * part.cell
    board.line([(x - half, y - half), (x + half, y + half)], INK, width=1.0)
    board.line([(x - half, y + half), (x + half, y - half)], INK, width=1.0)


def _letter(board: Board, part: Drawn, letter: str) -> None:
    if part.cell >= 14:
        size = 0.46 * part.cell
        x, y = part.centre
        board.text((x, y + 0.36 * size), letter, size, INK, anchor="middle", bold=True)
