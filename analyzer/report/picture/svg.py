"""A picture as SVG: the same shapes give the same bytes, and names are text and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from analyzer.report.clean import shown
from analyzer.report.picture.shapes import Circle, Line, Picture, Shape, Text

_FONT = "'DejaVu Sans Mono', Menlo, Consolas, 'Liberation Mono', monospace"


def iter_svg(picture: Picture) -> Iterator[str]:
    """Yield the picture in pieces, one line a shape.

    It needs no other file; a face of one width is asked for, whichever there is.
    """
    width, height = _number(picture.width), _number(picture.height)
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="title description" '
        f'font-family="{_FONT}" stroke-linejoin="round" stroke-linecap="round">\n'
    )
    yield f'<title id="title">{_words(picture.title)}</title>\n'
    yield f'<desc id="description">{_words(picture.description)}</desc>\n'
    yield f'<rect width="{width}" height="{height}" fill="{picture.paper}"/>\n'
    for shape in picture.shapes:
        yield f"{_element(shape)}\n"
    yield "</svg>\n"


def _element(shape: Shape) -> str:
    match shape:
        case Line():
            kind = "polygon" if shape.closed else "polyline"
            points = " ".join(f"{_number(x)},{_number(y)}" for x, y in shape.points)
            return f'<{kind} points="{points}"{_stroke(shape)}/>'
        case Circle():
            x, y = map(_number, shape.centre)
            return f'<circle cx="{x}" cy="{y}" r="{_number(shape.radius)}"{_stroke(shape)}/>'
        case Text():
            return _text(shape)


def _stroke(shape: Line | Circle) -> str:
    told = f' fill="{shape.fill or "none"}"'
    if shape.ink is None:
        return told
    told += f' stroke="{shape.ink}" stroke-width="{_number(shape.width)}"'
    if shape.dash:
        told += f' stroke-dasharray="{" ".join(map(_number, shape.dash))}"'
    return told


def _text(text: Text) -> str:
    x, y = map(_number, text.at)
    how = f'font-size="{_number(text.size)}" fill="{text.ink}"'
    if text.anchor != "start":
        how += f" text-anchor={quoteattr(text.anchor)}"
    if text.bold:
        how += ' font-weight="bold"'
    if text.halo is not None:
        how += (
            f' paint-order="stroke" stroke="{text.halo}" stroke-width="{_number(text.size * 0.3)}"'
        )
    return f'<text x="{x}" y="{y}" {how}>{_words(text.text)}</text>'


def _words(text: str) -> str:
    return escape(shown(text))


def _number(value: float) -> str:
    """Return a length with at most two decimals.

    >>> _number(12.0), _number(0.126), _number(-0.001)
    ('12', '0.13', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
