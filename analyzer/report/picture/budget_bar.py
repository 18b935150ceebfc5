"""The budget of a network as a bar: what its movers give, and which machines ask for how much."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from analyzer.base.exact import decimal_text
from analyzer.base.policy import Level
from analyzer.report.picture.inks import GREY, INK, LEVELS, MACHINE, PAPER
from analyzer.report.picture.shapes import Board, Point
from analyzer.report.picture.subject import Subject

#: Height of the bar with its words.
BAR_HEIGHT: Final = 84.0
_HIGH: Final = 24.0
_SIZE: Final = 11.0
#: Fills of machines next to each other.
_SHADES: Final = (MACHINE, "#c3d3de")


def draw_budget(board: Board, subject: Subject, corner: Point, width: float) -> None:
    """Lay the bar on a board.

    Each part of it is one item of the parts list, as long as its share; what is asked for beyond
    what is given has another colour and a thick border.
    """
    x, y = corner
    row = subject.row
    demand = row.demand_power
    whole = max(row.capacity_power, demand or Fraction(0))
    unit = subject.unit
    if not whole or demand is None:
        what = "unknown" if demand is None else "nothing"
        text = f"{decimal_text(row.capacity_power)} {unit} given; asked for: {what}"
        board.text((x, y + 14), text, _SIZE + 1, INK, bold=True)
        if row.capacity_power:
            board.box((x, y + 24), (x + width, y + 24 + _HIGH), INK, width=1.4)
        return
    board.text((x, y + 14), _told(subject), _SIZE + 1, INK, bold=True)
    top, low = y + 24, y + 24 + _HIGH
    at = x
    number = 0
    for item in subject.items:
        if item.look.role != "machine" or not item.power:
            continue
        share = width * float(item.power / whole)
        shade = _SHADES[number % 2]
        board.box((at, top), (at + share, low), INK, width=0.8, fill=shade)
        if share > 16:
            middle = (at + share / 2, top + 16)
            board.text(middle, str(item.number), _SIZE, INK, anchor="middle", bold=True)
        at += share
        number += 1
    room = x + width - at
    if row.headroom_power and room > 60:
        text = f"{decimal_text(row.headroom_power)} left"
        board.text((at + room / 2, top + 16), text, _SIZE, GREY, anchor="middle")
    given = x + width * float(row.capacity_power / whole)
    board.box((x, top), (x + width, low), INK, width=1.4)
    if given < x + width:
        ink = LEVELS[Level.ERROR]
        board.box((given, top), (x + width, low), ink, width=3.0)
    board.line([(given, top - 5), (given, low + 5)], INK, width=2.4)
    anchor = "end" if given > x + width / 2 else "start"
    board.text((given, low + 17), "all that is given", 9, GREY, anchor=anchor, halo=PAPER)


def _told(subject: Subject) -> str:
    row, unit = subject.row, subject.unit
    demand, headroom = row.demand_power, row.headroom_power
    assert demand is not None, "a bar needs a demand"
    assert headroom is not None, "and so it has a headroom"
    by = " by the machines numbered as in the parts list" if demand else ""
    told = f"{decimal_text(row.capacity_power)} {unit} given, {decimal_text(demand)} asked for{by}"
    if headroom < 0:
        return f"{told}: {decimal_text(-headroom)} too few"
    return f"{told}, {decimal_text(headroom)} left"
