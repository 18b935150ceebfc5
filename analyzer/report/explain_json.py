"""The explanation of one position for machines: docs/explain.md."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Final

from analyzer.base.frame import AXES
from analyzer.base.frame_tables import POSE_FACES
from analyzer.base.place import Block, network_id
from analyzer.findings.audit import Audit
from analyzer.findings.explain.explanation import Driver, Explanation, Step, Vacancy
from analyzer.findings.findings import Finding
from analyzer.report.json_text import iter_json
from analyzer.report.network_rows import NetworkRow, network_row
from analyzer.report.quantities import quantity
from analyzer.report.scan_json import save_facts, tool
from analyzer.report.sentences import message
from analyzer.solution.solution import Conflict

#: Grows with any change that a reader of the document could trip over.
SCHEMA_VERSION: Final = 1


def iter_explain_json(audit: Audit, told: Explanation | Vacancy) -> Iterator[str]:
    """Yield the document in pieces."""
    yield from iter_json(explain_document(audit, told))


def explain_document(audit: Audit, told: Explanation | Vacancy) -> dict[str, Any]:
    """Return the document as plain values; nothing in it depends on this machine."""
    head = {
        "schema_version": SCHEMA_VERSION,
        "tool": tool(),
        "save": save_facts(audit.scan.facts),
    }
    if isinstance(told, Vacancy):
        return {**head, **_vacant(audit, told)}
    row = network_row(audit, told.network)
    return {
        **head,
        "dimension": row.dimension,
        "at": list(audit.parts.block_at(told.part)),
        "part": _part(audit, told, row),
        "network": _network(row),
        "chains": [_steps(audit, chain.steps) for chain in told.chains],
        "drivers": [_driver(audit, driver) for driver in told.drivers],
        "findings": [_finding(audit, told, finding) for finding in told.findings],
        "there": None,
        "nearest": None,
    }


def share(power: Fraction | None, whole: Fraction | None) -> Fraction | None:
    """Return a power's share of a whole, or None where one is not known or there is no whole."""
    return power / whole if power is not None and whole else None


def _part(audit: Audit, told: Explanation, row: NetworkRow) -> dict[str, Any]:
    parts = audit.parts
    kind = parts.catalogues.types[int(parts.type[told.part])]
    share_of_demand = share(told.power, row.demand_power) if kind.role == "machine" else None
    return {
        "block": kind.block,
        "properties": dict(parts.states[int(parts.state[told.part])].properties),
        "role": str(kind.role),
        "axis": AXES[int(POSE_FACES[parts.pose[told.part], 0]) >> 1],
        "cause": told.cause,
        **quantity("rpm", audit.solution.speed_rpm(told.part)),
        **quantity("power", told.power),
        **quantity("share_of_capacity", share(told.power, row.capacity_power)),
        **quantity("share_of_demand", share_of_demand),
    }


def _network(row: NetworkRow) -> dict[str, Any]:
    return {
        "id": row.id,
        "state": str(row.state),
        "conflict": None if row.conflict == Conflict.NONE else str(row.conflict),
        "parts": row.parts,
        "cut": row.cut,
        "taken_while_running": row.taken_while_running,
        **quantity("capacity", row.capacity_power),
        **quantity("demand", row.demand_power),
        **quantity("headroom", row.headroom_power),
    }


def _steps(audit: Audit, steps: tuple[Step, ...]) -> list[dict[str, Any]]:
    parts = audit.parts
    told = []
    for step in steps:
        kind = parts.catalogues.types[int(parts.type[step.part])]
        told.append(
            {
                "at": list(parts.block_at(step.part)),
                "block": kind.block,
                "role": str(kind.role),
                "by": None if step.kind is None else str(step.kind),
                **quantity("ratio", step.ratio),
                **quantity("sets", step.sets_rpm),
                **quantity("rpm", step.rpm),
            }
        )
    return told


def _driver(audit: Audit, driver: Driver) -> dict[str, Any]:
    return {
        "kind": driver.kind,
        **_place_of(audit, driver.part),
        "distance": math.sqrt(driver.squared),
        "switches": [list(audit.parts.block_at(switch)) for switch in driver.switches],
        "chain": _steps(audit, driver.chain),
    }


def _place_of(audit: Audit, part: int) -> dict[str, Any]:
    parts, networks = audit.parts, audit.networks
    anchor = int(networks.anchor[int(networks.network[part])])
    dimension = parts.dimensions[int(parts.dimension[part])]
    return {
        "at": list(parts.block_at(part)),
        "block": parts.catalogues.types[int(parts.type[part])].block,
        "network": network_id(dimension, parts.block_at(anchor)),
        **quantity("rpm", audit.solution.speed_rpm(part)),
    }


def _finding(audit: Audit, told: Explanation, finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "level": str(finding.level),
        "certain": finding.certain,
        "at": _block(finding.at),
        "names_the_part": audit.parts.block_at(told.part) in finding.places,
        "fingerprint": finding.fingerprint,
        "message": message(audit, finding),
    }


def _vacant(audit: Audit, told: Vacancy) -> dict[str, Any]:
    there, nearest = told.there, told.nearest
    block = there.block
    return {
        "dimension": told.dimension,
        "at": list(told.at),
        "part": None,
        "network": None,
        "chains": [],
        "drivers": [],
        "findings": [],
        "there": {
            "chunk": there.status.name.lower(),
            "block": None if block is None else block.name,
            "properties": {} if block is None else dict(block.properties),
            "entity": there.entity,
            "reason": None if there.fault is None else there.fault.reason,
            "no_part": None if told.rejected is None else told.rejected[1],
        },
        "nearest": None
        if nearest is None
        else {**_place_of(audit, nearest), "distance": math.sqrt(told.squared)},
    }


def _block(block: Block | None) -> list[int] | None:
    return None if block is None else list(block)
