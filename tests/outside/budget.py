"""A line shaft with movers and machines, and perhaps a second shaft geared to it, on the books.

`on_paper` asks the solver, `in_blocks` writes a save with a catalogue and asks the command line,
`books` asks both, which have to agree.
"""

from __future__ import annotations

import csv
import io
import json
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from analyzer.demo.content import Placement, place
from analyzer.solution.solution import State
from tests.support import mechanism as by_hand
from tests.support.command import lineshaft
from tests.support.saves import save_of

HEAD = """\
[catalogue]
format = 1
title = "Line shaft"
namespace = "quayworks"
version = "1"
licence = "MIT"
"""
ENTRY = """
[parts."quayworks:{name}"]
role = "{role}"
entity = false
pose = {{axis = "axis"}}
ends = {{front = 1, back = -1}}
"""


@dataclass(frozen=True)
class Drive:
    """Movers and machines on a shaft, and machines on a second one that it turns by gears.

    Parameters
    ----------
    gives
        Rated speed in rpm and torque of each mover on the first shaft.
    takes
        Torque of each machine on the first shaft. Torque is energy per turn.
    teeth
        Teeth of the gears on the first and the second shaft; None where there is no second.
    gives_there
        Movers on the second shaft.
    takes_there
        Machines on the second shaft.
    """

    gives: Sequence[tuple[str, str]]
    takes: Sequence[str] = ()
    teeth: tuple[int, int] | None = None
    gives_there: Sequence[tuple[str, str]] = ()
    takes_there: Sequence[str] = ()


@dataclass(frozen=True)
class Books:
    """What the tool says about a drive: its power, and the speed of either shaft.

    Parameters
    ----------
    overload
        Measured and limit of the finding; None where there is none.
    """

    state: str
    capacity: Fraction
    demand: Fraction | None
    headroom: Fraction | None
    overload: tuple[Fraction, Fraction] | None
    rpm: tuple[Fraction | None, ...]


def books(drive: Drive) -> Books:
    """What solver and command line both say; the exit status tells whether it is overloaded."""
    seen, status = in_blocks(drive)
    assert seen == on_paper(drive)
    assert status == (seen.state == "overloaded")
    return seen


def on_paper(drive: Drive) -> Books:
    """Ask the solver."""
    shafts = ((drive.gives, drive.takes), (drive.gives_there, drive.takes_there))
    joined = drive.teeth is not None
    parts = [by_hand.SHAFT] * (1 + joined)
    couplings = [(0, 1, -Fraction(*drive.teeth))] if drive.teeth else []
    for shaft, (gives, takes) in enumerate(shafts[: len(parts)]):
        fitted = [by_hand.mover(Fraction(rpm), Fraction(torque)) for rpm, torque in gives]
        fitted += [by_hand.machine(Fraction(torque)) for torque in takes]
        couplings += [(shaft, len(parts) + number, 1) for number in range(len(fitted))]
        parts += fitted
    audit = by_hand.audit_of(by_hand.mechanism(parts, couplings))
    solution = audit.solution
    capacity, demand = solution.capacity_power(0), solution.demand_power(0)
    over = [item for item in audit.findings.items if item.rule == "overload"]
    return Books(
        state=str(State(int(solution.state[0]))),
        capacity=capacity,
        demand=demand,
        headroom=None if demand is None else capacity - demand,
        overload=_only([(item.measured, item.limit) for item in over]),
        rpm=tuple(solution.speed_rpm(shaft) for shaft in range(1 + joined)),
    )


def in_blocks(drive: Drive) -> tuple[Books, int]:
    """Ask the command line about a save; also its exit status."""
    types, blocks, middle = _built(drive)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "types.toml").write_text(HEAD + types, "utf-8")
        save = save_of(folder, blocks)
        asked = (save, "--catalogue", folder / "types.toml", "--no-config", "--format")
        audit, parts = lineshaft("audit", *asked, "json"), lineshaft("parts", *asked, "csv")
    assert parts.status == 0, parts.err
    document = json.loads(audit.out)
    assert document["scan"]["parts"] == len(blocks)
    (network,) = document["networks"]
    rows = {(int(row["x"]), int(row["z"])): row for row in csv.DictReader(io.StringIO(parts.out))}
    over = [item for item in document["findings"] if item["rule"] == "overload"]
    return Books(
        state=network["state"],
        capacity=Fraction(network["capacity_exact"]),
        demand=_exact(network["demand_exact"]),
        headroom=_exact(network["headroom_exact"]),
        overload=_only(
            [(_exact(item["measured_exact"]), _exact(item["limit_exact"])) for item in over]
        ),
        rpm=tuple(
            _exact(rows[middle, row]["rpm_exact"]) for row in range(2) if (middle, row) in rows
        ),
    ), audit.status


def _built(drive: Drive) -> tuple[str, list[Placement], int]:
    """Catalogue entries, blocks, and how far east the gears are: movers west, machines east."""
    entries: list[str] = []
    blocks: list[Placement] = []

    def put(x: int, row: int, role: str, *lines: str) -> None:
        name = f"part_{len(blocks)}"
        entries.append(ENTRY.format(name=name, role=role) + "".join(f"{line}\n" for line in lines))
        blocks.append(place((x, 64, row), f"quayworks:{name}[axis=x]"))

    middle = max(len(drive.gives), len(drive.gives_there))
    shafts = ((drive.gives, drive.takes), (drive.gives_there, drive.takes_there))
    for row, (gives, takes) in enumerate(shafts[: 2 if drive.teeth else 1]):
        teeth = drive.teeth[row] if drive.teeth else 1
        put(middle, row, "transmission", f'rim = {{kind = "near", teeth = {teeth}}}')
        for number, (rpm, torque) in enumerate(gives, start=1):
            put(middle - number, row, "mover", f"rated_rpm = {rpm}", f"torque = {torque}")
        for number, torque in enumerate(takes, start=1):
            put(middle + number, row, "machine", f"torque = {torque}")
    return "".join(entries), blocks, middle


def _only(found: list[tuple[Fraction | None, Fraction | None]]) -> Any:
    assert len(found) < 2
    return found[0] if found else None


def _exact(text: str | None) -> Fraction | None:
    return Fraction(text) if text else None
