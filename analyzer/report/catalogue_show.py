"""One block state as its catalogue resolves it, in world directions, for people."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from analyzer.base.exact import exact_text
from analyzer.base.frame import AXES, FACES, SIDES
from analyzer.base.placements import Offset
from analyzer.catalogue.catalogue import Field
from analyzer.catalogue.show import Shown
from analyzer.report.clean import shown
from analyzer.report.joint_text import iter_joints, number_text
from analyzer.report.layout import columns, heading, labelled, paragraph

_NUMBERS: Final = (
    (Field.RATED_RPM, "rated", " rpm about its front"),
    (Field.TORQUE, "torque", ""),
    (Field.ACTIVE, "active", ""),
    (Field.LEAST_RPM, "least", " rpm"),
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
            yield from labelled(label, f"{number_text(number)}{unit}")
    limit = block.type.speed_limit_rpm
    yield from labelled("limit", "none" if limit is None else f"{exact_text(limit)} rpm")
    yield from labelled("fits", shown(block.type.fits))
    yield from iter_joints(block)
    yield from _ends(block)
    yield from _rim(block)
    yield from _meetings(block)


def _ends(block: Shown) -> Iterator[str]:
    yield "\n"
    yield from heading("Ends", "-")
    if not block.ends:
        yield "none\n"
        return
    elsewhere = any(any(end.cell) for end in block.ends)
    rows: list[tuple[str, ...]] = [("side", "faces", *(("cell",) if elsewhere else ()), "turn")]
    for end in block.ends:
        cell = (_away(end.cell),) if elsewhere else ()
        rows.append((SIDES[end.side], FACES[end.face], *cell, number_text(end.factor)))
    yield from columns(rows, right="l" * len(rows[0]))
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
    yield from labelled("rim", f"{rim.kind}, {number_text(teeth)} teeth, about {AXES[block.axis]}")
    if block.rim_cell is not None and any(block.rim_cell):
        yield from labelled("cell", _away(block.rim_cell))
    rows = [
        (
            mesh.placement,
            _away(mesh.offset),
            mesh.partner,
            AXES[mesh.axis],
            _way(mesh.sign),
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


def _meetings(block: Shown) -> Iterator[str]:
    if not block.meetings:
        return
    yield "\n"
    yield from heading("Own offsets", "-")
    touches = any(meeting.contact is not None for meeting in block.meetings)
    contact = ("contact",) if touches else ()
    rows: list[tuple[str, ...]] = [("away by", "about", "speed", "turns", *contact, "meets")]
    for meeting in block.meetings:
        ratio, cell = meeting.ratio, meeting.contact
        speed = "by the teeth" if ratio is None else f"{exact_text(ratio)} times"
        at = (_away(cell) if cell is not None else "",) if touches else ()
        names = ", ".join(map(shown, meeting.types))
        where = _away(meeting.offset), AXES[meeting.axis]
        rows.append((*where, speed, _way(meeting.sign), *at, names))
    yield from columns(rows, right="l" * len(rows[0]))


def _away(offset: Offset) -> str:
    return " ".join(map(str, offset))


def _way(sign: int) -> str:
    return "the same way" if sign > 0 else "the other way"
