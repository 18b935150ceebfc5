"""From own offsets, links, switches, governors and records of a document to what they describe."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from analyzer.catalogue.build_number import build_cell, build_number, build_path, build_stored
from analyzer.catalogue.catalogue import (
    Constant,
    Governor,
    Link,
    Meeting,
    Partner,
    Port,
    Recorded,
    Switch,
)


def build_meeting(table: dict[str, Any]) -> Meeting:
    """Return the own offset that a table gives."""
    ratio = table.get("ratio")
    return Meeting(
        at=build_cell(table["at"]),
        types=tuple(table["types"]),
        ratio=None if ratio is None else _ratio(ratio),
        contact=build_cell(table["contact"]) if "contact" in table else None,
    )


def build_link(table: dict[str, Any]) -> Link:
    """Return the link that a table gives."""
    return Link(
        crossed=table.get("crossed", False),
        diameter=build_number(table["diameter"]) if "diameter" in table else Constant(Fraction(1)),
        partner=_partner(table["partner"]) if "partner" in table else None,
    )


def build_switch(table: dict[str, Any]) -> Switch:
    """Return the switch that a table gives."""
    names = table["opens"] if table["kind"] == "clutch" else [table["flips"]]
    return Switch(
        kind=table["kind"],
        ports=tuple(sorted(map(_port, names))),
        on=build_number(table["on"]),
    )


def build_governor(table: dict[str, Any]) -> Governor:
    """Return the governor that a table gives."""
    return Governor(
        port=_port(table["port"]),
        set_rpm=build_number(table["set_rpm"]),
        follows=table["sense"] == "follow",
    )


def build_recorded(table: dict[str, Any]) -> Recorded:
    """Return where a table says that the recorded speed is stored."""
    return Recorded(rpm=build_stored(table), about=table["about"])


def _ratio(value: Any) -> Fraction:
    if isinstance(value, list):
        above, below = value
        return Fraction(above) / Fraction(below)
    return Fraction(value)


def _partner(table: dict[str, Any]) -> Partner:
    x, y, z = table.get("names", Partner.names)
    return Partner(
        form=table["form"],
        path=build_path(table["stored"]),
        names=(x, y, z),
        relative=table.get("relative", False),
    )


def _port(name: str) -> Port:
    return Port[name.upper()]
