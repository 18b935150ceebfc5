"""The grid under a view: block lines with their coordinates, and the borders of chunks."""

from __future__ import annotations

from typing import Final

from analyzer.base.frame import AXES
from analyzer.report.picture.inks import CHUNK, GREY, GRID, INK
from analyzer.report.picture.paper import Paper
from analyzer.report.picture.shapes import Board

_STEPS: Final = (1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 4096, 16384, 65536)
#: Least room between two coordinates of the rim.
_ROOM: Final = 44.0
_SIZE: Final = 10.0


def draw_grid(board: Board, paper: Paper) -> None:
    """Lay the grid of a view on a board, with coordinates along its upper and left rims."""
    for side in (0, 1):
        _lines(board, paper, side)
        _coordinates(board, paper, side)
    board.box((paper.left, paper.top), (paper.right, paper.bottom), INK, width=1.4)


def _lines(board: Board, paper: Paper, side: int) -> None:
    for edge in range(paper.low[side], paper.high[side] + 2):
        block = _block_at_edge(paper, side, edge)
        chunk = block % 16 == 0 and (paper.view.right, paper.view.down)[side][0] != 1
        if not chunk and paper.cell < 9:
            continue
        if chunk and paper.cell * 16 < 6:
            continue
        where = (edge - paper.low[side]) * paper.cell
        if side == 0:
            ends = [(paper.left + where, paper.top), (paper.left + where, paper.bottom)]
        else:
            ends = [(paper.left, paper.top + where), (paper.right, paper.top + where)]
        if chunk:
            board.line(ends, CHUNK, width=1.2, dash=(7.0, 4.0))
        else:
            board.line(ends, GRID, width=0.8)


def _block_at_edge(paper: Paper, side: int, edge: int) -> int:
    """Return the coordinate of the border between two cells, counted along the world's axis."""
    _, sense = (paper.view.right, paper.view.down)[side]
    # Against the axis, a cell's lower border on the paper is its upper one in the world.
    return edge if sense > 0 else 1 - edge


def _coordinates(board: Board, paper: Paper, side: int) -> None:
    axis, sense = (paper.view.right, paper.view.down)[side]
    step = next((step for step in _STEPS if step * paper.cell >= _ROOM), _STEPS[-1])
    for at in range(paper.low[side], paper.high[side] + 1):
        block = at * sense
        if block % step:
            continue
        middle = (at - paper.low[side] + 0.5) * paper.cell
        if side == 0:
            x = paper.left + middle
            board.line([(x, paper.top - 4), (x, paper.top)], INK, width=1.0)
            board.text((x, paper.top - 7), str(block), _SIZE, GREY, anchor="middle")
        else:
            y = paper.top + middle
            board.line([(paper.left - 4, y), (paper.left, y)], INK, width=1.0)
            board.text((paper.left - 7, y + 3.5), str(block), _SIZE, GREY, anchor="end")
    name = AXES[axis]
    if side == 0:
        board.text((paper.left - 12, paper.top - 7), name, _SIZE + 1, INK, anchor="end", bold=True)
    else:
        board.text((paper.left - 28, paper.top + 4), name, _SIZE + 1, INK, anchor="end", bold=True)
