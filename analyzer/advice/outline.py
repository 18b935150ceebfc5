"""Outlines: what each network of an audit does, in a few numbers."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import numpy.typing as npt

from analyzer.advice.advice import Outline
from analyzer.base.place import network_id
from analyzer.base.tables import unique_rows
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.parts.parts import Parts
from analyzer.solution.solution import Conflict, State


def outlines_of(audit: Audit) -> list[Outline]:
    """Return the outline of every network, by number; no networks give none."""
    parts, networks, solution = audit.parts, audit.networks, audit.solution
    machine = machines_of(parts)
    findings: dict[int, list[Finding]] = {}
    for finding in audit.findings.items:
        if finding.network is not None:
            findings.setdefault(finding.network, []).append(finding)
    count = len(networks)
    machines = np.bincount(networks.network[machine], minlength=count)
    movers = np.bincount(networks.network[solution.active], minlength=count)
    rpm = _machines_rpm(audit, np.flatnonzero(machine))
    outlines = []
    for number in range(count):
        anchor = int(networks.anchor[number])
        dimension = parts.dimensions[int(parts.dimension[anchor])]
        at = parts.block_at(anchor)
        outlines.append(
            Outline(
                id=network_id(dimension, at),
                dimension=dimension,
                anchor=at,
                state=State(int(solution.state[number])),
                conflict=Conflict(int(solution.conflict[number])),
                parts=int(networks.start[number + 1] - networks.start[number]),
                movers=int(movers[number]),
                machines=int(machines[number]),
                capacity_power=solution.capacity_power(number),
                demand_power=solution.demand_power(number),
                machines_rpm=rpm[number],
                cut=bool(solution.cut[number]),
                findings=tuple(findings.get(number, ())),
            )
        )
    return outlines


def machines_of(parts: Parts) -> npt.NDArray[np.bool_]:
    """Tell which parts are machines, bool, shape (n,)."""
    of_type = np.array([kind.role == "machine" for kind in parts.catalogues.types], bool)
    machines: npt.NDArray[np.bool_] = of_type[parts.type]
    return machines


def _machines_rpm(audit: Audit, machines: npt.NDArray[np.int64]) -> list[Fraction | None]:
    total: list[Fraction | None] = [Fraction(0)] * len(audit.networks)
    speed = audit.solution.speed[machines]
    rows, number = unique_rows(audit.networks.network[machines], speed)
    counts = np.bincount(number, minlength=len(rows)).tolist()
    for (network, index), count in zip(rows.tolist(), counts, strict=True):
        sofar = total[network]
        if index < 0 or sofar is None:
            total[network] = None
        else:
            total[network] = sofar + count * abs(audit.solution.speeds[index])
    return total
