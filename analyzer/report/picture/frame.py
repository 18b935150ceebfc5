"""The frame of a sheet, with zones: numbers along it, letters down it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from analyzer.report.picture.inks import GREY, INK
from analyzer.report.picture.shapes import Board, Point

#: Width of the frame, and of the margin outside it.
BORDER: Final = 18.0
MARGIN: Final = 12.0
_ZONE: Final = 240.0
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Frame:
    """A frame round a sheet of some size."""

    width: float
    height: float

    @property
    def columns(self) -> int:
        """How many zones there are along it."""
        return max(2, round(self.width / _ZONE))

    @property
    def rows(self) -> int:
        """How many zones there are down it."""
        return max(2, round(self.height / _ZONE))

    def zone(self, point: Point) -> str:
        """Return the zone that a point lies in, such as ``B3``."""
        column = int(point[0] / self.width * self.columns)
        row = int(point[1] / self.height * self.rows)
        return f"{_letter(min(row, self.rows - 1))}{min(column, self.columns - 1) + 1}"

    def draw(self, board: Board) -> None:
        """Lay the frame on a board."""
        outer, inner = MARGIN, MARGIN + BORDER
        board.box((outer, outer), (self.width - outer, self.height - outer), INK, width=0.8)
        board.box((inner, inner), (self.width - inner, self.height - inner), INK, width=1.8)
        for column in range(self.columns):
            x = (column + 0.5) * self.width / self.columns
            for y in (outer, self.height - inner):
                board.text((x, y + 13), str(column + 1), 10, GREY, anchor="middle")
            if column:
                edge = column * self.width / self.columns
                for y in (outer, self.height - inner):
                    board.line([(edge, y), (edge, y + BORDER)], INK, width=0.8)
        for row in range(self.rows):
            y = (row + 0.5) * self.height / self.rows
            for x in (outer, self.width - inner):
                board.text((x + BORDER / 2, y + 4), _letter(row), 10, GREY, anchor="middle")
            if row:
                edge = row * self.height / self.rows
                for x in (outer, self.width - inner):
                    board.line([(x, edge), (x + BORDER, edge)], INK, width=0.8)


def _letter(row: int) -> str:
    """Return a row's letters: A to Z, then AA, AB and so on.

    >>> _letter(0), _letter(27)
    ('A', 'AB')
    """
    head, last = divmod(row, len(_LETTERS))
    return (_letter(head - 1) if head else "") + _LETTERS[last]
