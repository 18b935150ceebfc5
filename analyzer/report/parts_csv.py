"""The parts of an audit as a CSV table: docs/output.md, Parts."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

import numpy as np

from analyzer.catalogue.catalogue import Field
from analyzer.findings.audit import Audit
from analyzer.report.clean import cell
from analyzer.report.quantities import exact_of, number_of
from analyzer.report.tables import iter_csv
from analyzer.solution.solution import Motion, State

#: The columns, in order.
COLUMNS: Final = (
    "dimension",
    "x",
    "y",
    "z",
    "block",
    "role",
    "network",
    "state",
    "rpm",
    "rpm_exact",
    "power",
    "power_exact",
)


def iter_parts_csv(audit: Audit) -> Iterator[str]:
    """Yield the table in pieces, by dimension and position; without parts, the header alone.

    Only parts of networks that were asked about are in it.
    """
    yield from iter_csv(COLUMNS, _iter_rows(audit))


def _iter_rows(audit: Audit) -> Iterator[tuple[str, ...]]:
    parts, networks = audit.parts, audit.networks
    dimensions = [cell(name) for name in parts.dimensions]
    types = [(cell(kind.block), str(kind.role)) for kind in parts.catalogues.types]
    labels = [cell(audit.network_id(number)) for number in range(len(audit.networks))]
    states = [str(State(state)) for state in audit.solution.state.tolist()]
    speeds = _Speeds(audit)
    for part in np.flatnonzero(audit.selected[networks.network]).tolist():
        network = int(networks.network[part])
        yield (
            dimensions[int(parts.dimension[part])],
            *map(str, parts.xyz[part].tolist()),
            *types[int(parts.type[part])],
            labels[network],
            states[network],
            *speeds.rpm_cells(part),
            *speeds.power_cells(part),
        )


class _Speeds:
    """Cells of speeds and powers; each distinct one is written once."""

    def __init__(self, audit: Audit) -> None:
        self._audit = audit
        solution = audit.solution
        turning = np.isin(solution.state, (State.TURNING, State.OVERLOADED))
        self._rests = (solution.motion == Motion.RESTS)[audit.networks.zone]
        self._rests &= turning[audit.networks.network]
        self._rpm = [_cells(speed) for speed in solution.speeds]
        self._power: dict[tuple[int, Fraction], tuple[str, str]] = {}
        self._torque = audit.parts.column(Field.TORQUE)
        roles = np.array([kind.role == "machine" for kind in audit.parts.catalogues.types], bool)
        self._machine = roles[audit.parts.type]

    def rpm_cells(self, part: int) -> tuple[str, str]:
        """Return the cells of a part's speed; 0 in a zone at rest of a network that turns."""
        speed = int(self._audit.solution.speed[part])
        if speed >= 0:
            return self._rpm[speed]
        return _cells(Fraction(0) if self._rests[part] else None)

    def power_cells(self, part: int) -> tuple[str, str]:
        """Return the cells of what a machine asks for, or of what an active mover gives."""
        torque = int(self._torque[part])
        rpm = self._rpm_of_power(part)
        if torque < 0 or rpm is None:
            return _cells(None)
        key = (torque, rpm)
        if key not in self._power:
            self._power[key] = _cells(self._audit.parts.numbers[torque] * abs(rpm))
        return self._power[key]

    def _rpm_of_power(self, part: int) -> Fraction | None:
        if self._audit.solution.active[part]:
            return self._audit.parts.number(part, Field.RATED_RPM)
        if not self._machine[part]:
            return None
        return Fraction(0) if self._rests[part] else self._audit.solution.speed_rpm(part)


def _cells(value: Fraction | None) -> tuple[str, str]:
    number, exact = number_of(value), exact_of(value)
    return ("" if number is None else str(number), "" if exact is None else exact)
