"""What a contact does as the switches stand: couple, be governed, or nothing.

A clutch that is off opens its ports, a reverser that is on flips the sign at its port, and of two
reversers at one contact each flips it. What goes through a governed port fixes no ratio.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from tests.judge.assembly import Contact
from tests.judge.parts import Part
from tests.judge.placed import Place


@dataclass(frozen=True)
class Coupling:
    """Part b turns at `ratio` per turn of part a, each about its positive world axis.

    `port` is that of part a.
    """

    a: Place
    b: Place
    ratio: Fraction
    port: str


@dataclass(frozen=True)
class Drive:
    """A governor and a part at its governed port.

    The other turns at `ratio` per turn of a governor whose port turns as the governed one does.
    That turn is `turn` about the positive axis; only its magnitude, and the way in which the
    governor really turns, where it `follows`. None: unusable, so that nothing is driven.
    `joins` means that the other's port is governed too, so that neither drives the other.
    """

    governor: Place
    other: Place
    ratio: Fraction
    turn: Fraction | None
    follows: bool
    joins: bool


@dataclass
class Arrangement:
    """What couples, what is governed, and the parts between which a clutch is open."""

    couplings: list[Coupling] = field(default_factory=list)
    drives: list[Drive] = field(default_factory=list)
    opened: set[Place] = field(default_factory=set)


def arrange(parts: Mapping[Place, Part], contacts: list[Contact]) -> Arrangement:
    """Return what some contacts do."""
    found = Arrangement()
    for contact in contacts:
        a, b = parts[contact.a], parts[contact.b]
        if is_open(a, contact.port_a) or is_open(b, contact.port_b):
            found.opened |= {contact.a, contact.b}
            continue
        sign = (-1 if flips(a, contact.port_a) else 1) * (-1 if flips(b, contact.port_b) else 1)
        ratio = sign * contact.ratio
        governed = (is_governed(a, contact.port_a), is_governed(b, contact.port_b))
        if governed[0]:
            found.drives.append(_drive(a, b, ratio, joins=governed[1]))
        if governed[1]:
            found.drives.append(_drive(b, a, 1 / ratio, joins=governed[0]))
        if not any(governed):
            found.couplings.append(Coupling(contact.a, contact.b, ratio, contact.port_a))
    return found


def is_open(part: Part, port: str) -> bool:
    switch = part.switch
    return switch is not None and switch.kind == "clutch" and not switch.on and port in switch.ports


def flips(part: Part, port: str) -> bool:
    switch = part.switch
    return switch is not None and switch.kind == "reverser" and switch.on and port in switch.ports


def is_governed(part: Part, port: str) -> bool:
    return part.governor is not None and part.governor.port == port


def _drive(governor: Part, other: Part, ratio: Fraction, *, joins: bool) -> Drive:
    rule = governor.governor
    assert rule is not None
    turn = None
    if rule.set_rpm is not None:
        factors = [abs(end.factor) for end in governor.ends if end.side == rule.port]
        # A port that turns c times as fast as its governor makes the set speed at a c-th of it.
        turn = Fraction(governor.sense * rule.set_rpm) / (factors[0] if factors else 1)
    return Drive(governor.place, other.place, ratio, turn, rule.follows, joins)
