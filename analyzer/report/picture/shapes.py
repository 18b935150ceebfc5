"""What a picture is made of: lines, circles and texts, in the order in which they are laid on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

#: (x, y) in units of the picture, x to the right and y down.
Point: TypeAlias = tuple[float, float]
Anchor: TypeAlias = Literal["start", "middle", "end"]

#: Width of one character per height of the letters: all are set in a face of one width.
CHARACTER: Final = 0.6


@dataclass(frozen=True)
class Line:
    """A line through points, or an area.

    Parameters
    ----------
    points
        At least two.
    ink
        Colour of the line as ``#rrggbb``; None draws none.
    width
        Its width.
    dash
        Lengths drawn and left out in turn; empty for a whole line.
    closed
        Whether it comes back to its first point.
    fill
        Colour of the area; None leaves it open.
    """

    points: tuple[Point, ...]
    ink: str | None
    width: float = 1.0
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: str | None = None


@dataclass(frozen=True)
class Circle:
    """A circle about a point; ink, width, dash and fill as of a line."""

    centre: Point
    radius: float
    ink: str | None
    width: float = 1.0
    dash: tuple[float, ...] = ()
    fill: str | None = None


@dataclass(frozen=True)
class Text:
    """One line of text.

    Parameters
    ----------
    at
        The start, middle or end of its base line.
    text
        Safe to show.
    size
        Height of the letters.
    ink
        Colour.
    anchor
        What of it lies at the point.
    bold
        Whether it is set bold.
    halo
        Colour of a rim round the letters, so that they can be read on lines; None for none.
    """

    at: Point
    text: str
    size: float
    ink: str
    anchor: Anchor = "start"
    bold: bool = False
    halo: str | None = None


Shape: TypeAlias = Line | Circle | Text


@dataclass(frozen=True)
class Picture:
    """A picture: its size, its shapes from the lowest up, and what it shows in words."""

    width: float
    height: float
    paper: str
    shapes: tuple[Shape, ...]
    title: str
    description: str


@dataclass
class Board:
    """Shapes as they are laid on."""

    shapes: list[Shape] = field(default_factory=list)

    def line(self, points: Sequence[Point], ink: str | None, **how: object) -> None:
        """Lay on a line; see `Line`."""
        self.shapes.append(Line(tuple(points), ink, **how))  # type: ignore[arg-type]

    def box(self, low: Point, high: Point, ink: str | None, **how: object) -> None:
        """Lay on a rectangle with two opposite corners; see `Line`."""
        corners = (low, (high[0], low[1]), high, (low[0], high[1]))
        self.line(corners, ink, closed=True, **how)

    def circle(self, centre: Point, radius: float, ink: str | None, **how: object) -> None:
        """Lay on a circle; see `Circle`."""
        self.shapes.append(Circle(centre, radius, ink, **how))  # type: ignore[arg-type]

    def text(self, at: Point, text: str, size: float, ink: str, **how: object) -> None:
        """Lay on a line of text; see `Text`."""
        self.shapes.append(Text(at, text, size, ink, **how))  # type: ignore[arg-type]


def width_of(text: str, size: float) -> float:
    """Return about how wide a text is."""
    return CHARACTER * size * len(text)


def fitted(text: str, size: float, width: float) -> str:
    """Return a text cut so that it is no wider than some width, with dots where it was cut.

    >>> fitted("quayworks:tide_wheel", 10, 60)
    'quaywor...'
    """
    most = int(width / (CHARACTER * size))
    return text if len(text) <= most else f"{text[: max(most - 3, 0)]}..."
