"""One block state as its catalogue resolves it, in world directions, for people."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from analyzer.base.exact import exact_text
from analyzer.base.frame import AXES, FACES, SIDES
from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.resolve import Settled
from analyzer.catalogue.show import Shown
from analyzer.report.clean import shown
from analyzer.report.layout import columns, heading, labelled, paragraph
from analyzer.report.toml_text import toml_string

_NUMBERS: Final = (
    (Field.RATED_RPM, "rated", " rpm about its front"),
    (Field.TORQUE, "torque", ""),
    (Field.ACTIVE, "active", ""),
)


def iter_shown(block: Shown) -> Iterator[str]:
    """Yield the report in pieces that end with a line."""
    yield from heading(shown(str(block.state)), "=")
    yield from labelled("catalogue", f"{shown(block.source.title)} {shown(block.source.version)}")
    yield from labelled("role", block.type.role)
    entities = ", ".join(map(shown, block.type.entities))
    yield from labelled("entity", entities or "none: found by its block alone")
    front, top, right = (FACES[face] for face in (block.front, block.top, block.right))
    yield from labelled("pose", f"front {front}, top {top}, right {right}")
    axis = AXES[block.axis]
    same = "the same" if block.sign > 0 else "the opposite"
    yield from labelled(
        "speed", f"reported about +{axis}: {same} sense as the turn about its front"
    )
    for field, label, unit in _NUMBERS:
        number = block.number(field)
        if number is not None:
            yield from labelled(label, f"{_number(number)}{unit}")
    limit = block.type.speed_limit_rpm
    yield from labelled("limit", "none" if limit is None else f"{exact_text(limit)} rpm")
    yield from labelled("fits", shown(block.type.fits))
    yield from _ends(block)
    yield from _rim(block)


def _ends(block: Shown) -> Iterator[str]:
    yield "\n"
    yield from heading("Ends", "-")
    if not block.ends:
        yield "none\n"
        return
    rows = [(SIDES[end.side], FACES[end.face], _number(end.factor)) for end in block.ends]
    yield from columns([("side", "faces", "turn"), *rows], right="lll")
    yield from paragraph(
        "turn: of the end about the outward normal of its face, as often as the part turns once "
        "about its front",
        first="  ",
    )


def _rim(block: Shown) -> Iterator[str]:
    yield "\n"
    yield from heading("Rim", "-")
    rim = block.type.rim
    teeth = block.number(Field.TEETH)
    if rim is None or teeth is None:
        yield "none\n"
        return
    yield from labelled("rim", f"{rim.kind}, {_number(teeth)} teeth, about {AXES[block.axis]}")
    rows = [
        (
            mesh.placement,
            " ".join(map(str, mesh.offset)),
            mesh.partner,
            AXES[mesh.axis],
            "the same way" if mesh.sign > 0 else "the other way",
        )
        for mesh in block.meshes
    ]
    header = ("placement", "away by", "other rim", "about", "turns")
    yield from columns([header, *rows], right="lllll")
    yield from paragraph(
        "away by: from this block to the other, along x, y and z; turns: seen along the positive "
        "axis of each",
        first="  ",
    )


def _number(number: Settled) -> str:
    """Write a number, or where the block entity keeps it."""
    if isinstance(number, Fraction):
        return exact_text(number)
    steps = [toml_string(step) if isinstance(step, str) else str(step) for step in number.path]
    text = f"stored at {' > '.join(steps)}"
    if number.scale != 1:
        text = f"{text}, times {exact_text(number.scale)}"
    if number.default is not None:
        text = f"{text}, by default {exact_text(number.default)}"
    return text
