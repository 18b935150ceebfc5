"""What an audit tells, with every place counted from a corner."""

from __future__ import annotations

from typing import Any

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding, Witness
from analyzer.solution.solution import Conflict, State


def telling(audit: Audit, corner: Block) -> Any:
    """Return parts, networks and findings of an audit; equal ones tell the same."""
    parts, networks, solution = audit.parts, audit.networks, audit.solution
    told_parts = [
        (
            _from(corner, parts.block_at(part)),
            str(parts.states[parts.state[part]]),
            int(networks.network[part]),
            int(networks.zone[part]),
            solution.speed_rpm(part),
            bool(solution.dragged[part]),
        )
        for part in range(len(parts))
    ]
    told_networks = [
        (
            str(State(solution.state[network])),
            str(Conflict(solution.conflict[network])),
            solution.capacity_power(network),
            solution.demand_power(network),
            bool(solution.cut[network]),
        )
        for network in range(len(networks))
    ]
    return told_parts, told_networks, [_finding(one, corner) for one in audit.findings.items]


def _finding(finding: Finding, corner: Block) -> Any:
    return (
        finding.rule,
        finding.level,
        finding.certain,
        finding.network,
        None if finding.at is None else _from(corner, finding.at),
        tuple(_from(corner, at) for at in finding.also),
        finding.count,
        (finding.measured, finding.limit, finding.unit),
        None if finding.witness is None else _witness(finding.witness, corner),
        finding.names,
    )


def _witness(witness: Witness, corner: Block) -> Any:
    return (
        witness.kind,
        tuple(_from(corner, at) for at in witness.parts),
        witness.ratios,
        witness.product,
        witness.shortest,
        witness.governed,
    )


def _from(corner: Block, at: Block) -> tuple[int, ...]:
    return tuple(to - start for to, start in zip(at, corner, strict=True))
