"""The power diagram of one network as a picture: what gives, what turns with what, what asks."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Final

from analyzer.base.exact import decimal_text
from analyzer.base.frame import AXES
from analyzer.report.drawing.power_diagram import Consumer, Transfer, make_power_diagram
from analyzer.report.picture.budget_bar import BAR_HEIGHT, draw_budget
from analyzer.report.picture.frame import BORDER, MARGIN, Frame
from analyzer.report.picture.inks import GREY, INK, MACHINE, MOVER, PAPER
from analyzer.report.picture.marks import FLAG, draw_flag
from analyzer.report.picture.panels import LEAST_WIDTH, draw_panels, height_of
from analyzer.report.picture.power_layout import BOX_WIDTH, COLUMN_GAP, Box, Layout, lay_out
from analyzer.report.picture.shapes import Board, Picture, Point, fitted, width_of
from analyzer.report.picture.subject import Subject
from analyzer.report.picture.symbols import Drawn, draw_symbol
from analyzer.report.quantities import counted, exact_of, place

_INNER: Final = MARGIN + BORDER
_PAD: Final = 40.0
_SIZE: Final = 11.0


def power_picture(subject: Subject) -> Picture:
    """Return a network's shafts, what drives them, and what each asks for, with a title block."""
    layout = lay_out(make_power_diagram(subject.sheet, subject.row.number))
    width = max(layout.width + 2 * _PAD, LEAST_WIDTH)
    left = _INNER + (width - layout.width) / 2
    top = _INNER + BAR_HEIGHT + 24
    left_out = 22.0 if layout.left_out else 0.0
    lists_top = top + layout.height + left_out + 34
    lists = height_of(subject, width)
    frame = Frame(width + 2 * _INNER, lists_top + lists + _INNER)
    board = Board()
    draw_budget(board, subject, (_INNER + _PAD, _INNER + 14), width - 2 * _PAD)
    _transfers(board, layout, (left, top))
    for box in layout.boxes:
        _box(board, subject, box, (left, top))
    _flags(board, subject, layout, (left, top))
    if layout.left_out:
        text = f"{counted(layout.left_out, 'shaft')} farther from the movers left out"
        board.text((_INNER + _PAD, lists_top - 16), text, _SIZE, GREY)
    draw_panels(
        board,
        subject,
        (_INNER, lists_top),
        (width, lists),
        what="power diagram, from the movers to the right",
        zone_of=lambda _: "",
    )
    frame.draw(board)
    return Picture(
        width=frame.width,
        height=frame.height,
        paper=PAPER,
        shapes=tuple(board.shapes),
        title=f"Power diagram of network {subject.row.id}",
        description=f"{counted(len(layout.boxes), 'box', 'boxes')} of shafts, {subject.row.state}; "
        f"{counted(len(subject.findings), 'finding')}.",
    )


def _box(board: Board, subject: Subject, box: Box, corner: Point) -> None:
    x, y = corner[0] + box.left, corner[1] + box.top
    group = box.group
    for behind in (8.0, 4.0) if box.alike > 1 else ():
        low = (x + behind, y + behind)
        board.box(low, (low[0] + BOX_WIDTH, low[1] + box.height), INK, width=0.8, fill=PAPER)
    board.box((x, y), (x + BOX_WIDTH, y + box.height), INK, width=1.4, fill=PAPER)
    rpm = group.speed_rpm
    speed = "no speed" if rpm is None else f"{decimal_text(rpm)} rpm about +{AXES[group.axis]}"
    board.text((x + 9, y + 17), speed, _SIZE + 1, INK, bold=True)
    many = f"{box.alike} alike, each " if box.alike > 1 else ""
    what = f"{many}{counted(group.parts, 'part')} at {place(group.at)}"
    board.text((x + 9, y + 32), fitted(what, 9, BOX_WIDTH - 18), 9, GREY)
    y += 48
    for consumers, fill in ((group.movers, MOVER), (group.machines, MACHINE)):
        for consumer in consumers:
            told = _power(consumer, gives=fill == MOVER)
            each = " each" if box.alike > 1 else ""
            _consumer(board, subject, consumer, (x, y), f"{told}{each}")
            y += 16


def _flags(board: Board, subject: Subject, layout: Layout, corner: Point) -> None:
    """Lay each finding's number on the shaft that it is about first."""
    parts = subject.sheet.parts
    shaft_at = {
        tuple(at): shaft for at, shaft in zip(parts.xyz.tolist(), parts.shaft.tolist(), strict=True)
    }
    box_of = {shaft_at[tuple(box.group.at)]: box for box in layout.boxes}
    taken: Counter[int] = Counter()
    for number, (mark, _, _) in enumerate(subject.findings, 1):
        shaft = shaft_at.get(tuple(mark.places[0])) if mark.places else None
        if shaft is not None and shaft in box_of:
            box = box_of[shaft]
            right = corner[0] + box.left + BOX_WIDTH - 10 - taken[shaft] * 2.4 * FLAG
            taken[shaft] += 1
            draw_flag(board, mark.level, (right, corner[1] + box.top), number)


def _consumer(board: Board, subject: Subject, consumer: Consumer, at: Point, told: str) -> None:
    x, y = at
    symbol = consumer.look.symbol
    number = subject.numbers()[consumer.look]
    draw_symbol(board, symbol, Drawn((x + 16, y - 4), 15.0, (1, 0), str(number)))
    name = consumer.look.block.partition(":")[2] or consumer.look.block
    text = f"{consumer.count:,} {name}"
    room = BOX_WIDTH - 30 - 14 - width_of(told, _SIZE)
    board.text((x + 28, y), fitted(text, _SIZE, room), _SIZE, INK)
    board.text((x + BOX_WIDTH - 9, y), told, _SIZE, INK, anchor="end", bold=True)


def _power(consumer: Consumer, *, gives: bool) -> str:
    if consumer.power is None:
        return "at rest" if gives else "unknown"
    return f"{'+' if gives else '-'}{decimal_text(consumer.power)}"


def _transfers(board: Board, layout: Layout, corner: Point) -> None:
    labels: Counter[Point] = Counter()
    for a, b, transfer in layout.transfers:
        one, other = layout.boxes[a], layout.boxes[b]
        forwards = one.column <= other.column
        near, far = (one, other) if forwards else (other, one)
        points, (right, low) = _route(near, far, corner)
        board.line(points, INK, width=1.6, dash=(6.0, 4.0) if transfer.ratio is None else ())
        board.circle(points[-1], 3.0, None, fill=INK)
        # Where several lines end in one place, their ratios stand above each other.
        above = 13.0 * labels[right, low]
        labels[right, low] += 1
        text = _ratio(transfer, forwards=forwards)
        board.text((right, low - above), text, _SIZE, INK, anchor="end", halo=PAPER)


def _route(near: Box, far: Box, corner: Point) -> tuple[list[Point], Point]:
    """Return the line from one box to another, and where its ratio ends."""
    x, y = corner
    start = (x + near.left + BOX_WIDTH, y + near.middle)
    # Lanes keep the lines of different shafts apart.
    lane = 14.0 + 5.0 * (near.shaft % 5)
    if near.column == far.column:
        end = (x + far.left + BOX_WIDTH, y + far.middle)
        turn = start[0] + COLUMN_GAP - 12.0 - lane / 2
        label = (turn - 4, (start[1] + end[1]) / 2 - 4)
    else:
        end = (x + far.left, y + far.middle)
        turn = start[0] + lane
        label = (end[0] - 6, end[1] - 6)
    return [start, (turn, start[1]), (turn, end[1]), end], label


def _ratio(transfer: Transfer, *, forwards: bool) -> str:
    if transfer.ratio is None:
        return "governor"
    ratio: Fraction = transfer.ratio if forwards else 1 / transfer.ratio
    text = exact_of(ratio) or "..."
    times = text if len(text) <= 7 else decimal_text(ratio)
    many = f" ({transfer.count})" if transfer.count > 1 else ""
    return f"{transfer.kind} {times}{many}"
