"""A plan or an elevation of one network as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.base.place import Block
from analyzer.couplings.couplings import Kind
from analyzer.report.drawing.looks import Look, Symbol
from analyzer.report.drawing.views import View
from analyzer.report.picture.frame import BORDER, MARGIN, Frame
from analyzer.report.picture.grid import draw_grid
from analyzer.report.picture.inks import GREY, INK, PAPER
from analyzer.report.picture.marks import FLAG, draw_marks
from analyzer.report.picture.panels import LEAST_WIDTH, draw_panels, height_of
from analyzer.report.picture.paper import Paper
from analyzer.report.picture.shapes import Board, Picture
from analyzer.report.picture.subject import Subject
from analyzer.report.picture.symbols import Drawn, draw_symbol, reach_of
from analyzer.report.picture.turning import LEAST_NUMBERED, Numbers, draw_arrow, rpm_text

_INNER: Final = MARGIN + BORDER
#: Room round the view for its coordinates.
_RIM: Final = 46.0


def view_picture(subject: Subject, view: View) -> Picture:
    """Return a network as it is seen from one side, with its lists and a title block."""
    parts = subject.sheet.parts
    probe = Paper.of(view, parts.xyz, left=0, top=0)
    width = max(probe.width + 2 * _RIM, LEAST_WIDTH)
    paper = Paper.of(view, parts.xyz, left=_INNER + (width - probe.width) / 2, top=_INNER + _RIM)
    lists_top = paper.bottom + _RIM
    lists = height_of(subject, width)
    frame = Frame(width + 2 * _INNER, lists_top + lists + _INNER)
    board = Board()
    draw_grid(board, paper)
    _couplings(board, paper, subject)
    _parts(board, paper, subject)
    draw_marks(board, paper, subject.findings)
    _speeds(board, paper, subject)
    draw_panels(
        board,
        subject,
        (_INNER, lists_top),
        (width, lists),
        what=f"{view.name}, seen {view.seen}; a square is a block",
        zone_of=lambda number: _zone(subject, paper, frame, number),
    )
    frame.draw(board)
    return Picture(
        width=frame.width,
        height=frame.height,
        paper=PAPER,
        shapes=tuple(board.shapes),
        title=f"{view.name.capitalize()} of network {subject.row.id}",
        description=f"{len(parts):,} parts seen {view.seen}, {subject.row.state}; "
        f"{len(subject.findings)} findings.",
    )


def _zone(subject: Subject, paper: Paper, frame: Frame, number: int) -> str:
    places = subject.findings[number][0].places
    return frame.zone(paper.at(places[0])) if places else ""


def _couplings(board: Board, paper: Paper, subject: Subject) -> None:
    """Lay on shafts between parts, belts, and what a catalogue couples at a distance."""
    table = subject.sheet.couplings
    for a, b, kind in zip(table.a.tolist(), table.b.tolist(), table.kind.tolist(), strict=True):
        x, y = paper.at(_block(subject, a))
        to_x, to_y = paper.at(_block(subject, b))
        if (x, y) == (to_x, to_y):
            continue
        match Kind(kind):
            case Kind.SHAFT:
                width = max(1.6, 0.14 * paper.cell)
                board.line([(x, y), (to_x, to_y)], INK, width=width)
            case Kind.LINK:
                length = float(np.hypot(to_x - x, to_y - y))
                off = 0.3 * paper.cell / length
                ox, oy = -(to_y - y) * off, (to_x - x) * off
                for side in (-1, 1):
                    ends = [(x + side * ox, y + side * oy), (to_x + side * ox, to_y + side * oy)]
                    board.line(ends, INK, width=1.2)
            case Kind.OFFSET:
                board.line([(x, y), (to_x, to_y)], GREY, width=1.6, dash=(2.0, 3.0))
            case Kind.MESH:
                pass


def _parts(board: Board, paper: Paper, subject: Subject) -> None:
    parts = subject.sheet.parts
    axis, sense = paper.view.towards
    # What is nearer to whoever looks is laid on later.
    order = np.lexsort((np.arange(len(parts)), parts.xyz[:, axis].astype(np.int64) * sense))
    numbers = subject.numbers()
    for place in order.tolist():
        symbol, drawn = _drawn(paper, subject, place, numbers)
        draw_symbol(board, symbol, drawn)
    for place in order.tolist():
        rpm = _rpm(subject, place)
        if rpm is not None:
            draw_arrow(board, paper, paper.at(_block(subject, place)), int(parts.axis[place]), rpm)


def _drawn(
    paper: Paper, subject: Subject, place: int, numbers: Mapping[Look, int]
) -> tuple[Symbol, Drawn]:
    parts = subject.sheet.parts
    look = subject.sheet.looks[int(parts.look[place])]
    drawn = Drawn(
        centre=paper.at(_block(subject, place)),
        cell=paper.cell,
        along=paper.along(int(parts.axis[place])),
        number=str(numbers[look]),
        open=look.symbol == "clutch" and int(parts.switched[place]) == 0,
    )
    return look.symbol, drawn


def _speeds(board: Board, paper: Paper, subject: Subject) -> None:
    """Lay on one number a rigid shaft: all of its parts turn as one."""
    if paper.cell < LEAST_NUMBERED:
        return
    parts = subject.sheet.parts
    labels = Numbers(board, paper.cell)
    numbers = subject.numbers()
    for place in range(len(parts)):
        symbol, drawn = _drawn(paper, subject, place, numbers)
        (x, y), (wide, high) = drawn.centre, reach_of(symbol, drawn)
        labels.keep_free((x - wide, y - high, x + wide, y + high))
    for mark, _, _ in subject.findings:
        if mark.places:
            x, y = paper.at(mark.places[0])
            half = 0.52 * paper.cell
            labels.keep_free((x + half - FLAG, y - half - FLAG, x + half + FLAG, y - half + FLAG))
    told: set[int] = set()
    for place in range(len(parts)):
        rpm = _rpm(subject, place)
        shaft = int(parts.shaft[place])
        if rpm is not None and shaft not in told:
            told.add(shaft)
            labels.place(paper.at(_block(subject, place)), rpm_text(rpm))


def _rpm(subject: Subject, place: int) -> Fraction | None:
    speed = int(subject.sheet.parts.speed[place])
    return None if speed < 0 else subject.sheet.speeds[speed]


def _block(subject: Subject, place: int) -> Block:
    x, y, z = subject.sheet.parts.xyz[place].tolist()
    return Block(x, y, z)
