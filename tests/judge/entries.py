"""One block and its catalogue entry, put together to a part."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.judge.partners import partner_named
from tests.judge.parts import End, Governor, Link, Meeting, Part, Record, Rim, Switch
from tests.judge.placed import Placement
from tests.judge.poses import NotUnderstoodError, frame, in_world
from tests.judge.quantities import Numbers, nonzero, not_negative, positive
from tests.judge.stored import follow, meaning, steps_of
from tests.judge.vectors import Vector, scale

#: Default placements of each kind of rim: all that the kind can have.
PLACEMENTS = {"near": {"beside", "diagonal"}, "far": {"diagonal", "crossed"}}
#: The data version of a build that does not say its own.
DATA_VERSION = 3955


def entry_of(catalogues: list[dict[str, Any]], block: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the heading of the catalogue that has the block, and the block's entry.

    Raises
    ------
    LookupError
        Where no catalogue has the block.
    """
    for catalogue in catalogues:
        if block in catalogue["parts"]:
            return catalogue["catalogue"], catalogue["parts"][block]
    raise LookupError(block)


def understand(
    catalogues: list[dict[str, Any]], placement: Placement, data_version: int = DATA_VERSION
) -> Part | None:
    """Return the part that a block is, or None where it is no part."""
    try:
        heading, entry = entry_of(catalogues, placement.block)
    except LookupError:
        return None
    if not _carried(entry, placement):
        return None
    try:
        return _part(heading, entry, placement, data_version)
    except NotUnderstoodError:
        return None


def _carried(entry: dict[str, Any], placement: Placement) -> bool:
    properties = placement.properties
    if any(properties.get(name) not in held for name, held in entry.get("only", {}).items()):
        return False
    if entry["entity"] is False:
        return True
    return placement.data is not None and placement.data["id"] in entry["entity"]


def _part(
    heading: dict[str, Any], entry: dict[str, Any], placement: Placement, data_version: int
) -> Part:
    lie = frame(entry["pose"], placement.properties)
    numbers = Numbers(placement)
    rated = numbers.read("rated_rpm", entry.get("rated_rpm"))
    torque = numbers.read("torque", entry.get("torque"), not_negative)
    switched_on = numbers.read("active", entry.get("active", 1))
    limit = entry.get("speed_limit_rpm", heading.get("speed_limit_rpm"))
    return Part(
        placement=placement,
        role=entry["role"],
        fits=entry.get("fits", heading["namespace"]),
        front=lie[0],
        top=lie[1],
        right=lie[2],
        ends=tuple(_ends(entry.get("ends", {}), lie, numbers)),
        rim=_rim(entry.get("rim"), lie, numbers),
        meets=tuple(_meeting(meeting, lie) for meeting in entry.get("meets", [])),
        link=_link(entry.get("link"), numbers, data_version),
        switch=_switch(entry.get("switch"), numbers),
        governor=_governor(entry.get("governor"), numbers),
        rated=rated,
        torque=torque,
        active=bool(rated and torque is not None and switched_on),
        strict=heading.get("unequal_movers") == "conflict",
        limit=None if limit is None else Fraction(limit),
        least=numbers.read("least_rpm", entry.get("least_rpm"), not_negative),
        record=_record(entry.get("recorded_rpm"), lie, numbers),
        unusable=tuple(numbers.unusable),
    )


_Lie = tuple[Vector, Vector, Vector]


def _ends(entry: dict[str, Any], lie: _Lie, numbers: Numbers) -> list[End]:
    front, top, right = lie
    sides = {
        "front": front,
        "back": scale(-1, front),
        "top": top,
        "bottom": scale(-1, top),
        "right": right,
        "left": scale(-1, right),
    }
    ends = []
    for side, given in entry.items():
        whole = given if isinstance(given, dict) and "factor" in given else {"factor": given}
        factor = numbers.read(side, whole["factor"], nonzero)
        if factor is not None:
            cell = in_world(whole.get("cell", [0, 0, 0]), lie)
            ends.append(End(side, sides[side], cell, factor))
    return ends


def _rim(entry: dict[str, Any] | None, lie: _Lie, numbers: Numbers) -> Rim | None:
    if entry is None:
        return None
    teeth = numbers.read("teeth", entry["teeth"], positive)
    if teeth is None:
        return None
    kind = entry["kind"]
    cell = in_world(entry.get("cell", [0, 0, 0]), lie)
    return Rim(kind, teeth, frozenset(entry.get("placements", PLACEMENTS[kind])), cell)


def _meeting(entry: dict[str, Any], lie: _Lie) -> Meeting:
    ratio = entry.get("ratio")
    if ratio is not None:
        ratio = Fraction(*ratio) if isinstance(ratio, list) else Fraction(ratio)
    contact = entry.get("contact")
    return Meeting(
        at=in_world(entry["at"], lie),
        types=frozenset(entry["types"]),
        ratio=ratio,
        contact=None if contact is None else in_world(contact, lie),
    )


def _link(entry: dict[str, Any] | None, numbers: Numbers, data_version: int) -> Link | None:
    if entry is None:
        return None
    partner = None
    if "partner" in entry:
        named = partner_named(entry["partner"], numbers.placement, data_version)
        partner = named.at
        if not named.usable:
            numbers.unusable.append("partner")
    diameter = numbers.read("diameter", entry.get("diameter", 1), positive)
    return Link(entry.get("crossed", False), diameter, partner)


def _switch(entry: dict[str, Any] | None, numbers: Numbers) -> Switch | None:
    if entry is None:
        return None
    ports = entry["opens"] if entry["kind"] == "clutch" else [entry["flips"]]
    # A switch whose number cannot be used counts as off.
    return Switch(entry["kind"], frozenset(ports), bool(numbers.read("switch", entry["on"])))


def _governor(entry: dict[str, Any] | None, numbers: Numbers) -> Governor | None:
    if entry is None:
        return None
    set_rpm = numbers.read("set_rpm", entry["set_rpm"])
    return Governor(entry["port"], set_rpm, entry["sense"] == "follow")


def _record(entry: dict[str, Any] | None, lie: _Lie, numbers: Numbers) -> Record | None:
    if entry is None:
        return None
    found = follow(numbers.placement.data or {}, steps_of(entry["stored"]))
    if found is None:
        return None
    number, unit = meaning(found), Fraction(entry.get("scale", 1))
    if number is None or abs(number * unit) > 10**9:
        numbers.unusable.append("recorded_rpm")
        return None
    looks_back = sum(lie[0]) < 0
    return Record(found, -unit if entry["about"] == "front" and looks_back else unit)
