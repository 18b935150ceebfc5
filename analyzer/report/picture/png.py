"""A picture as PNG, painted by Pillow from the same shapes as the SVG (docs/decisions)."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from analyzer.base.errors import UsageError
from analyzer.report.clean import shown
from analyzer.report.picture.shapes import Circle, Line, Picture, Point, Shape, Text

if TYPE_CHECKING:
    from PIL import ImageDraw, ImageFont
    from PIL.Image import Image as PilImage

#: Pixels of the result per unit of the picture, where that is not too large.
_SCALE: Final = 2.0
#: Painted so many times as large each way and made smaller, which smooths the edges.
_FINER: Final = 2
#: Most pixels that are painted.
_MOST_PIXELS: Final = 80_000_000


def png_bytes(picture: Picture) -> bytes:
    """Return the picture as a PNG file.

    Raises
    ------
    UsageError
        Where Pillow is not installed.
    """
    try:
        from PIL import Image, ImageDraw
    except ImportError as error:
        raise UsageError(
            "a PNG is painted by Pillow, which is not installed. Install lineshaft[png], or name "
            "an output that ends in .svg."
        ) from error
    area = picture.width * picture.height
    scale = min(_SCALE * _FINER, math.sqrt(_MOST_PIXELS / area))
    size = (max(1, round(picture.width * scale)), max(1, round(picture.height * scale)))
    image = Image.new("RGB", size, picture.paper)
    painter = _Painter(ImageDraw.Draw(image), scale)
    for shape in picture.shapes:
        painter.paint(shape)
    return _saved(image.reduce(_FINER) if scale > _FINER / 2 else image)


def _saved(image: PilImage) -> bytes:
    # Few colours are used, so that a palette holds the picture in a third of the bytes.
    from PIL import Image

    buffer = io.BytesIO()
    image.quantize(colors=256, dither=Image.Dither.NONE).save(buffer, "PNG", optimize=True)
    return buffer.getvalue()


class _Painter:
    def __init__(self, draw: ImageDraw.ImageDraw, scale: float) -> None:
        self._draw = draw
        self._scale = scale

    def paint(self, shape: Shape) -> None:
        match shape:
            case Line():
                self._line(shape)
            case Circle():
                self._circle(shape)
            case Text():
                self._text(shape)

    def _line(self, line: Line) -> None:
        points = [self._at(point) for point in line.points]
        if line.closed and line.fill is not None:
            self._draw.polygon(points, fill=line.fill)
        if line.ink is None:
            return
        ends = [*points, points[0]] if line.closed else points
        if line.closed and not line.dash:
            # The second point once more, so that the last corner is rounded like the others.
            ends.append(points[1])
        self._strokes(ends, line.ink, line.width, line.dash)

    def _strokes(
        self, points: list[Point], ink: str, width: float, dash: tuple[float, ...]
    ) -> None:
        thick = max(1, round(width * self._scale))
        pieces = _dashed(points, [length * self._scale for length in dash]) if dash else [points]
        for piece in pieces:
            self._draw.line(piece, fill=ink, width=thick, joint="curve")

    def _circle(self, circle: Circle) -> None:
        x, y = self._at(circle.centre)
        radius = circle.radius * self._scale
        if circle.fill is not None:
            self._draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=circle.fill)
        if circle.ink is None:
            return
        turns = max(24, round(radius))
        ring = [
            (
                x + radius * math.cos(2 * math.pi * step / turns),
                y + radius * math.sin(2 * math.pi * step / turns),
            )
            for step in range(turns + 2)
        ]
        self._strokes(ring, circle.ink, circle.width, circle.dash)

    def _text(self, text: Text) -> None:
        size = max(1, round(text.size * self._scale))
        anchors = {"start": "ls", "middle": "ms", "end": "rs"}
        words, font = _set(shown(text.text), size)
        rim = 0 if text.halo is None else max(1, round(size * 0.15))
        self._draw.text(
            self._at(text.at),
            words,
            fill=text.ink,
            font=font,
            anchor=anchors[text.anchor],
            stroke_width=rim or (max(1, round(size * 0.03)) if text.bold else 0),
            stroke_fill=text.halo or text.ink,
        )
        if text.bold and rim:
            # The rim leaves no room for thicker letters, so they come on top of it.
            self._draw.text(
                self._at(text.at),
                words,
                fill=text.ink,
                font=font,
                anchor=anchors[text.anchor],
                stroke_width=max(1, round(size * 0.03)),
            )

    def _at(self, point: Point) -> Point:
        return (point[0] * self._scale, point[1] * self._scale)


def _set(text: str, size: int) -> tuple[str, ImageFont.FreeTypeFont | ImageFont.ImageFont]:
    """Return a text and the face to set it in; what no face has is written as an escape."""
    if text.isascii():
        return text, _own_face(size)
    face = _wide_face(size)
    if face is not None:
        return text, face
    return text.encode("ascii", "backslashreplace").decode(), _own_face(size)


@cache
def _own_face(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    from PIL import ImageFont

    # The face that Pillow brings along: pictures are the same on every machine.
    return ImageFont.load_default(size)


@cache
def _wide_face(size: int) -> ImageFont.FreeTypeFont | None:
    from PIL import ImageFont

    # Pillow's own face has plain Latin letters only.
    try:
        return ImageFont.truetype("DejaVuSans.ttf", size)
    except OSError:
        return None


def _dashed(points: list[Point], dash: list[float]) -> Iterator[list[Point]]:
    """Yield the pieces of a line that a pattern of lengths draws."""
    turn, left = 0, dash[0]
    for (x, y), (to_x, to_y) in pairwise(points):
        length = math.hypot(to_x - x, to_y - y)
        done = 0.0
        while done < length:
            step = min(left, length - done)
            if turn % 2 == 0:
                yield [
                    (x + (to_x - x) * part / length, y + (to_y - y) * part / length)
                    for part in (done, done + step)
                ]
            done, left = done + step, left - step
            if left <= 0:
                turn += 1
                left = max(dash[turn % len(dash)], 0.5)
