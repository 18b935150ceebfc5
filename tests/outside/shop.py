"""A workshop to try rules in: a few blocks, written into a save and audited."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from analyzer.base.place import Block
from analyzer.demo.content import Placement, place
from analyzer.findings.audit import Audit
from analyzer.solution.solution import State
from tests.support.audits import audited_text
from tests.support.saves import save_of

#: Types that every workshop has; all of them couple with each other.
TYPES = """\
[catalogue]
format = 1
title = "Workshop"
namespace = "quayworks"
version = "1"
licence = "MIT"

[parts."quayworks:engine"]
role = "mover"
entity = ["quayworks:drive"]
pose = {facing = "facing"}
ends = {front = 1, back = -1}
rated_rpm = {stored = "Rpm"}
torque = {stored = "Torque", default = 1}
active = {property = "lit", values = {true = 1, false = 0}}

[parts."quayworks:mill"]
role = "machine"
entity = ["quayworks:drive"]
pose = {facing = "facing"}
ends = {front = 1, back = -1}
torque = {stored = "Torque", default = 1}

[parts."quayworks:shaft"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}

[parts."quayworks:gear_20"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
rim = {kind = "near", teeth = 20}

[parts."quayworks:gear_40"]
role = "transmission"
entity = false
pose = {axis = "axis"}
ends = {front = 1, back = -1}
rim = {kind = "near", teeth = 40}
"""


@dataclass(frozen=True)
class Shop:
    """An audited workshop."""

    audit: Audit

    def rpm(self, *at: int) -> Fraction | None:
        """The speed of the part at a position, about the world's positive axis."""
        index = int(self.audit.solution.speed[self._part(at)])
        return None if index < 0 else self.audit.solution.speeds[index]

    def state(self, *at: int) -> State:
        """The state of the network of the part at a position."""
        return State(int(self.audit.solution.state[self._network(at)]))

    def powers(self, *at: int) -> tuple[Fraction, Fraction | None]:
        """Capacity and demand of the network of the part at a position."""
        solution, network = self.audit.solution, self._network(at)
        return solution.capacity_power(network), solution.demand_power(network)

    @property
    def rules(self) -> list[str]:
        """Names of the findings, in their order."""
        return [finding.rule for finding in self.audit.findings.items]

    def _network(self, at: tuple[int, ...]) -> int:
        return int(self.audit.networks.network[self._part(at)])

    def _part(self, at: tuple[int, ...]) -> int:
        parts = self.audit.parts
        (part,) = (n for n in range(len(parts)) if parts.block_at(n) == Block(*at))
        return part


def drive(at: tuple[int, int, int], state: str, **data: Any) -> Placement:
    """Place a part that keeps data."""
    return place(at, f"quayworks:{state}", {"id": "quayworks:drive", **data})


def plain(at: tuple[int, int, int], state: str) -> Placement:
    """Place a part that keeps none."""
    return place(at, f"quayworks:{state}")


def shop(
    blocks: Iterable[Placement], types: str = "", head: Mapping[str, str] | None = None
) -> Shop:
    """Write the blocks into a save and audit it.

    Parameters
    ----------
    blocks
        What stands there.
    types
        Entries of the catalogue beside the usual ones.
    head
        Further keys of its head, with their values as written.
    """
    lines = "".join(f"{key} = {value}\n" for key, value in (head or {}).items())
    text = TYPES.replace('licence = "MIT"\n', f'licence = "MIT"\n{lines}') + types
    with tempfile.TemporaryDirectory() as folder:
        return Shop(audited_text(save_of(Path(folder), blocks), text))
