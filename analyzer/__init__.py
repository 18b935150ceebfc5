"""lineshaft: a static analyzer for the drives in block-world saves.

The public API is resolved on first use, so that importing the package costs nothing.

Examples
--------
>>> from analyzer import audit_save
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from analyzer.findings.audit import Audit
    from analyzer.pipeline.audit import audit_save
    from analyzer.pipeline.fleet import FleetResult, audit_fleet
    from analyzer.pipeline.fleet_save import FleetOrder
    from analyzer.pipeline.survey import survey_save
    from analyzer.save.inventory.inventory import Inventory

__all__ = [
    "Audit",
    "FleetOrder",
    "FleetResult",
    "Inventory",
    "audit_fleet",
    "audit_save",
    "survey_save",
]

_HOMES = {
    "Audit": "analyzer.findings.audit",
    "FleetOrder": "analyzer.pipeline.fleet_save",
    "FleetResult": "analyzer.pipeline.fleet",
    "Inventory": "analyzer.save.inventory.inventory",
    "audit_fleet": "analyzer.pipeline.fleet",
    "audit_save": "analyzer.pipeline.audit",
    "survey_save": "analyzer.pipeline.survey",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return __all__
