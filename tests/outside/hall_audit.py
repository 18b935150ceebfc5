"""Machine halls written into a save and audited through the command line.

`audited` writes a catalogue with every size of gear that stands there, and a save, and runs
``lineshaft parts`` and ``lineshaft audit`` over it.
"""

from __future__ import annotations

import csv
import io
import json
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from analyzer.demo.content import Placement
from tests.outside.hall import At, Hall
from tests.support.command import lineshaft
from tests.support.saves import save_of

HEAD = """\
[catalogue]
format = 1
title = "Machine hall"
namespace = "quayworks"
version = "1"
licence = "MIT"

[parts."quayworks:shaft"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}

[parts."quayworks:motor"]
role = "mover"
entity = ["quayworks:drive"]
pose = {axis = "axis"}
ends = {front = 1, back = -1}
rated_rpm = {stored = "Rpm"}
torque = {stored = "Torque"}

[parts."quayworks:machine"]
role = "machine"
entity = ["quayworks:drive"]
pose = {axis = "axis"}
ends = {front = 1, back = -1}
torque = {stored = "Torque"}
"""
GEAR = """
[parts."quayworks:{name}"]
role = "transmission"
entity = false
pose = {{axis = "axis"}}
ends = {{front = 1, back = -1}}
rim = {{kind = "{kind}", teeth = {teeth}}}
"""
PULLEY = """
[parts."quayworks:{name}"]
role = "transmission"
entity = ["quayworks:pulley"]
pose = {{axis = "axis"}}
ends = {{front = 1, back = -1}}

[parts."quayworks:{name}".link]
crossed = {crossed}
diameter = {{stored = "Diameter"}}
partner = {{stored = "Partner", form = "list", relative = true}}
"""
BELTS = PULLEY.format(name="open_pulley", crossed="false") + PULLEY.format(
    name="crossed_pulley", crossed="true"
)


@dataclass(frozen=True)
class Network:
    """What the audit says about a network."""

    state: str
    parts: int
    capacity: Fraction | None
    demand: Fraction | None
    headroom: Fraction | None


@dataclass(frozen=True)
class Seen:
    """What the command line says about a save: speeds and powers by position, networks, rules."""

    rpm: Mapping[At, Fraction | None]
    power: Mapping[At, Fraction | None]
    networks: tuple[Network, ...]
    rules: tuple[str, ...]

    def turns(self, hall: Hall) -> dict[str, Fraction | None]:
        """Return the speed of every shaft; all blocks of a shaft have to turn alike."""
        found = {}
        for shaft, cells in hall.shafts.items():
            (found[shaft],) = {self.rpm[at] for at in cells}
        return found


def audited(*halls: Hall, blocks: Iterable[Placement] = ()) -> Seen:
    """Write halls, and other blocks, into one save and audit it through the command line."""
    placements = [item for each in halls for item in each.blocks] + list(blocks)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "hall.toml").write_text(_catalogue(placements), "utf-8")
        save = save_of(folder, placements)
        asked = (save, "--catalogue", folder / "hall.toml", "--no-config", "--format")
        parts = lineshaft("parts", *asked, "csv")
        audit = lineshaft("audit", *asked, "json")
    assert parts.status == 0, parts.err
    assert audit.status in (0, 1), audit.err
    rows = {
        (int(row["x"]), int(row["y"]), int(row["z"])): row
        for row in csv.DictReader(io.StringIO(parts.out))
    }
    assert set(rows) == {item.at for item in placements}
    document = json.loads(audit.out)
    return Seen(
        rpm={at: _exact(row["rpm_exact"]) for at, row in rows.items()},
        power={at: _exact(row["power_exact"]) for at, row in rows.items()},
        networks=tuple(_network(item) for item in document["networks"]),
        rules=tuple(item["rule"] for item in document["findings"]),
    )


def _catalogue(placements: Iterable[Placement]) -> str:
    names = sorted({item.state.name.removeprefix("quayworks:") for item in placements})
    gears = [name for name in names if "gear_" in name]
    kinds = {name: "far" if name.startswith("far_") else "near" for name in gears}
    return (HEAD + BELTS) + "".join(
        GEAR.format(name=name, kind=kinds[name], teeth=name.rpartition("_")[2]) for name in gears
    )


def _network(item: Mapping[str, Any]) -> Network:
    powers = (item[f"{name}_exact"] for name in ("capacity", "demand", "headroom"))
    return Network(item["state"], item["parts"], *map(_exact, powers))


def _exact(text: str | None) -> Fraction | None:
    return Fraction(text) if text else None
