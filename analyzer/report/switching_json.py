"""Other states of switches and movers for machines: a key of the document of an audit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from analyzer.findings.audit import Audit
from analyzer.findings.findings import Throw
from analyzer.report.quantities import quantity

# Few audits explore other states.
if TYPE_CHECKING:
    from analyzer.switching.switching import Assembly, Bound, Switching, Worst


def switching_object(audit: Audit, switching: Switching) -> dict[str, Any]:
    """Return what was found in other states as plain values."""
    return {
        "assemblies": [_assembly(audit, one) for one in switching.assemblies],
        "idle": switching.idle,
        "fixed": switching.fixed,
    }


def throws_list(throws: Sequence[Throw]) -> list[dict[str, Any]]:
    """Return what to set as plain values."""
    return [
        {
            "at": list(throw.at),
            "block": throw.block,
            "property": throw.property,
            "value": throw.value,
            "before": throw.before,
        }
        for throw in throws
    ]


def _assembly(audit: Audit, one: Assembly) -> dict[str, Any]:
    return {
        "dimension": one.dimension,
        "anchor": list(one.anchor),
        "networks": [audit.network_id(network) for network in one.networks],
        "parts": one.parts,
        "switches": one.switches,
        "movers": one.movers,
        "states": one.states,
        "looked_at": one.extent,
        "pieces": one.pieces,
        "solved": one.solved,
        "demand": _worst(one.demand),
        "speed": _worst(one.speed),
        "bound": None if one.bound is None else _bound(one.bound),
        "cut": one.cut,
        "findings": [finding.fingerprint for finding in one.found],
        "more": one.more,
    }


def _worst(worst: Worst | None) -> dict[str, Any] | None:
    if worst is None:
        return None
    return {
        **quantity("amount", worst.amount),
        **quantity("capacity", worst.capacity),
        "at": list(worst.at),
        "switches": throws_list(worst.throws),
    }


def _bound(bound: Bound) -> dict[str, Any]:
    return {
        **quantity("demand", bound.demand),
        **quantity("capacity", bound.capacity),
        **quantity("speed", bound.speed),
    }
