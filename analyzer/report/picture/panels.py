"""The lists under a drawing: parts, findings, symbols, and the title block."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import Final

from analyzer.report.drawing.looks import SYMBOLS
from analyzer.report.network_table import power_texts, state_text
from analyzer.report.picture.inks import GREY, INK
from analyzer.report.picture.marks import draw_flag
from analyzer.report.picture.shapes import CHARACTER, Board, Point, fitted
from analyzer.report.picture.subject import Subject
from analyzer.report.picture.symbols import NAMES, Drawn, draw_symbol
from analyzer.report.quantities import amount
from analyzer.report.version import VERSION

#: Height of a line of a list, and of its letters.
_LINE: Final = 16.0
_SIZE: Final = 11.0
_HEAD: Final = 32.0
_PAD: Final = 12.0
#: Most findings, lines of one finding, and parts that are listed.
_MOST_FINDINGS: Final = 12
_MOST_LINES: Final = 4
_MOST_ITEMS: Final = 24

#: Width below which the panels do not fit.
LEAST_WIDTH: Final = 980.0
#: Height of the symbols and the title block.
_TITLE_HEIGHT: Final = 236.0
#: Where a finding is on the sheet, or an empty text.
ZoneOf = Callable[[int], str]


def height_of(subject: Subject, width: float) -> float:
    """Return how high the panels are."""
    _, middle, _ = _widths(width)
    items = min(len(subject.items), _MOST_ITEMS + 1)
    lines = sum(len(entry) for entry in _finding_lines(subject, middle))
    lists = max(items, lines + (len(subject.findings) > _MOST_FINDINGS), 2)
    return max(_HEAD + _LINE * lists + _PAD, _TITLE_HEIGHT)


def draw_panels(
    board: Board,
    subject: Subject,
    corner: Point,
    size: Point,
    *,
    what: str,
    zone_of: ZoneOf,
) -> None:
    """Lay the panels on a board.

    Parameters
    ----------
    board, subject
        Where, and about what.
    corner, size
        Their upper left corner, and their width and height.
    what
        What the drawing shows and to what scale, for the title block.
    zone_of
        Gives the zone of a finding by its place in the list.
    """
    x, y = corner
    width, height = size
    left, middle, right = _widths(width)
    board.line([(x, y), (x + width, y)], INK, width=1.8)
    for edge in (x + left, x + left + middle):
        board.line([(edge, y), (edge, y + height)], INK, width=1.2)
    _items(board, subject, (x, y), left)
    _findings(board, subject, (x + left, y), middle, zone_of)
    _title(board, subject, (x + left + middle, y), right, what)


def _widths(width: float) -> tuple[float, float, float]:
    right = 330.0
    left = min(max(300.0, 0.3 * width), 440.0)
    return left, width - left - right, right


def _heading(board: Board, corner: Point, text: str) -> None:
    board.text((corner[0] + _PAD, corner[1] + 19), text, _SIZE, INK, bold=True)


def _items(board: Board, subject: Subject, corner: Point, width: float) -> None:
    x, y = corner
    _heading(board, corner, "Parts")
    y += _HEAD + 6
    for item in subject.items[:_MOST_ITEMS]:
        power = "" if item.power is None else amount(item.power, subject.unit)
        board.text((x + _PAD + 18, y), str(item.number), _SIZE, GREY, anchor="end")
        board.text((x + _PAD + 52, y), f"{item.count:,}", _SIZE, INK, anchor="end")
        room = width - _PAD * 2 - 62 - len(power) * CHARACTER * _SIZE - 8
        board.text((x + _PAD + 62, y), fitted(item.look.block, _SIZE, room), _SIZE, INK)
        board.text((x + width - _PAD, y), power, _SIZE, INK, anchor="end")
        y += _LINE
    left = len(subject.items) - _MOST_ITEMS
    if left > 0:
        board.text((x + _PAD + 62, y), f"and {left:,} more types", _SIZE, GREY)


def _finding_lines(subject: Subject, width: float) -> list[list[str]]:
    most = int((width - _PAD * 2 - 26) / (CHARACTER * _SIZE))
    entries = []
    for mark, finding, text in subject.findings[:_MOST_FINDINGS]:
        surely = "" if finding.certain == "yes" else f", {finding.certain}"
        lines = textwrap.wrap(f"{mark.level}: {mark.rule}{surely}. {text}", most)
        if len(lines) > _MOST_LINES:
            lines = [*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1][: most - 3]}..."]
        entries.append(lines)
    return entries


def _findings(board: Board, subject: Subject, corner: Point, width: float, zone_of: ZoneOf) -> None:
    x, y = corner
    _heading(board, corner, "Findings" if subject.findings else "No findings")
    y += _HEAD + 6
    for number, lines in enumerate(_finding_lines(subject, width), 1):
        mark = subject.findings[number - 1][0]
        draw_flag(board, mark.level, (x + _PAD + 8, y - 4), number)
        zone = zone_of(number - 1)
        for place, line in enumerate(lines):
            board.text((x + _PAD + 26, y), line, _SIZE, INK)
            if not place and zone:
                board.text((x + width - 6, y), zone, 9, GREY, anchor="end")
            y += _LINE
    left = len(subject.findings) - _MOST_FINDINGS
    if left > 0:
        board.text((x + _PAD + 26, y), f"and {left:,} more", _SIZE, GREY)


def _title(board: Board, subject: Subject, corner: Point, width: float, what: str) -> None:
    x, y = corner
    row = subject.row
    capacity, demand, headroom = power_texts(row)
    if row.demand_power is None:
        power = f"{capacity} given, what is asked for is unknown"
    else:
        rest = f"{headroom[1:]} too few" if headroom.startswith("-") else f"{headroom} left"
        power = f"{capacity} given, {demand} asked for, {rest}"
    y = _legend(board, corner, width)
    rows: Sequence[tuple[str, str]] = (
        ("save", subject.title),
        ("network", row.id),
        ("state", state_text(row)),
        ("power", f"{power} ({subject.unit})"),
        ("drawing", what),
        ("by", f"lineshaft {VERSION}; {subject.catalogues}"),
    )
    for label, text in rows:
        board.line([(x, y), (x + width, y)], INK, width=0.8)
        board.text((x + 8, y + 15), label, 9, GREY)
        size = next(
            (size for size in (_SIZE, 10.0, 9.0) if len(text) * CHARACTER * size <= width - 76),
            8.0,
        )
        board.text((x + 68, y + 15), fitted(text, size, width - 76), size, INK)
        y += 22
    board.line([(x, y), (x + width, y)], INK, width=0.8)


def _legend(board: Board, corner: Point, width: float) -> float:
    """Lay what the symbols mean on a board, and return where the legend ends."""
    x, y = corner
    _heading(board, corner, "Symbols")
    column = width / 4
    for number, symbol in enumerate(SYMBOLS):
        left = x + _PAD + 6 + (number % 4) * column * 0.99
        low = y + 36 + (number // 4) * 24
        cell = 11.0 if symbol == "far gear" else 18.0
        draw_symbol(board, symbol, Drawn((left, low), cell, (1, 0)))
        board.text((left + 13, low + 3.5), NAMES[symbol], 9, INK)
    for number, words in enumerate(("arrow: how the near side", "moves; green number: rpm")):
        board.text((x + _PAD + 2 * column, y + 82 + 13 * number), words, 9, GREY)
    return y + 104
