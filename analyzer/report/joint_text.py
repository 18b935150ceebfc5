"""What a block's couplings depend on, and where its numbers are kept, for people."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from analyzer.base.exact import exact_text
from analyzer.base.frame import FACES
from analyzer.catalogue.catalogue import DataPath, Field, Partner
from analyzer.catalogue.resolve import Settled
from analyzer.catalogue.show import Shown, ShownPort
from analyzer.report.layout import labelled
from analyzer.report.toml_text import toml_string


def iter_joints(block: Shown) -> Iterator[str]:
    """Yield a line each for link, switch, governor and recorded speed, where there is one."""
    found = block.type
    diameter, on = block.number(Field.DIAMETER), block.number(Field.SWITCH)
    if found.link is not None and diameter is not None:
        belt = "crossed" if found.link.crossed else "open"
        partner = "" if found.link.partner is None else f"; {_partner(found.link.partner)}"
        yield from labelled("link", f"{belt}, diameter {number_text(diameter)}{partner}")
    if found.switch is not None and on is not None:
        ports = ", ".join(map(_port, block.switched))
        does = "opens" if found.switch.kind == "clutch" else "flips"
        when = "while 0" if found.switch.kind == "clutch" else "while not 0"
        yield from labelled(
            "switch", f"{found.switch.kind}, {does} {ports} {when}; here {number_text(on)}"
        )
    set_rpm = block.number(Field.SET_RPM)
    if block.governed is not None and found.governor is not None and set_rpm is not None:
        sense = "turning the way the part does" if found.governor.follows else "about its front"
        text = f"{_port(block.governed)}, set rpm {number_text(set_rpm)}, {sense}"
        yield from labelled("governor", text)
    if found.recorded is not None:
        about = "its front" if found.recorded.about == "front" else "the positive world axis"
        yield from labelled("recorded", f"{number_text(found.recorded.rpm)}, in rpm about {about}")


def number_text(number: Settled) -> str:
    """Write a number, or where the block entity keeps it."""
    if isinstance(number, Fraction):
        return exact_text(number)
    text = f"stored at {_path(number.path)}"
    if number.scale != 1:
        text = f"{text}, times {exact_text(number.scale)}"
    if number.default is not None:
        text = f"{text}, by default {exact_text(number.default)}"
    return text


def _path(path: DataPath) -> str:
    steps = [toml_string(step) if isinstance(step, str) else str(step) for step in path]
    return " > ".join(steps) or "the root"


def _partner(partner: Partner) -> str:
    where = "away from the part" if partner.relative else "in the world"
    names = (
        f" under {', '.join(map(toml_string, partner.names))}" if partner.form == "named" else ""
    )
    return f"partner stored at {_path(partner.path)} ({partner.form}{names}), {where}"


def _port(port: ShownPort) -> str:
    return str(port.port) if port.face is None else f"{port.port} ({FACES[port.face]})"
