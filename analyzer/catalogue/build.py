"""From a document without mistakes to the types it describes."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

from analyzer.base.frame import FACES, POSE_OF, SIDES, default_top
from analyzer.catalogue.catalogue import (
    ByProperty,
    Constant,
    End,
    Number,
    PartType,
    Placement,
    PoseByAxis,
    PoseByCases,
    PoseByFacing,
    PoseFixed,
    PoseRule,
    Rim,
    Source,
    Stored,
)
from analyzer.catalogue.format import KIND_PLACEMENTS


def build_source(document: dict[str, Any]) -> Source:
    """Return what a document says about the catalogue as a whole."""
    head = document["catalogue"]
    limit = head.get("speed_limit_rpm")
    return Source(
        title=head["title"],
        namespace=head["namespace"],
        version=head["version"],
        licence=head["licence"],
        power_unit=head.get("power_unit", "power"),
        speed_limit_rpm=None if limit is None else Fraction(limit),
        unequal_movers=head.get("unequal_movers", "fastest"),
        types=len(document.get("parts", {})),
    )


def build_types(document: dict[str, Any], *, index: int, source: Source) -> tuple[PartType, ...]:
    """Return the types of a document in its order.

    Parameters
    ----------
    document
        A document that was checked and has no mistake.
    index
        Number of its catalogue among those loaded.
    source
        What `build_source` returned for it.
    """
    return tuple(
        _part(block, entry, index=index, source=source)
        for block, entry in document.get("parts", {}).items()
    )


def _part(block: str, entry: dict[str, Any], *, index: int, source: Source) -> PartType:
    limit = entry.get("speed_limit_rpm")
    return PartType(
        block=block,
        source=index,
        role=entry["role"],
        entities=tuple(entry["entity"] or ()),
        pose=_pose_rule(entry["pose"]),
        ends=tuple(
            End(number, _number(entry["ends"][side]))
            for number, side in enumerate(SIDES)
            if side in entry.get("ends", {})
        ),
        rim=_rim(entry["rim"]) if "rim" in entry else None,
        rated_rpm=_optional(entry.get("rated_rpm")),
        torque=_optional(entry.get("torque")),
        active=_optional(entry.get("active")),
        speed_limit_rpm=source.speed_limit_rpm if limit is None else Fraction(limit),
        fits=entry.get("fits", source.namespace),
    )


def _pose_rule(table: dict[str, Any]) -> PoseRule:
    if "axis" in table:
        return PoseByAxis(table["axis"])
    if "facing" in table:
        return PoseByFacing(table["facing"])
    if "front" in table:
        return PoseFixed(_pose(table))
    return PoseByCases(
        tuple((tuple(sorted(case["when"].items())), _pose(case)) for case in table["cases"])
    )


def _pose(table: dict[str, Any]) -> int:
    front = FACES.index(table["front"])
    top = FACES.index(table["top"]) if "top" in table else default_top(front)
    return int(POSE_OF[front, top])


def _rim(table: dict[str, Any]) -> Rim:
    placements = table.get("placements", KIND_PLACEMENTS[table["kind"]])
    return Rim(
        kind=table["kind"],
        teeth=_number(table["teeth"]),
        placements=frozenset(cast("list[Placement]", placements)),
    )


def _optional(value: Any) -> Number | None:
    return None if value is None else _number(value)


def _number(value: int | Decimal | dict[str, Any]) -> Number:
    if not isinstance(value, dict):
        return Constant(Fraction(value))
    if "property" in value:
        return ByProperty(
            value["property"],
            tuple((name, Fraction(number)) for name, number in sorted(value["values"].items())),
        )
    path = value["stored"]
    default = value.get("default")
    return Stored(
        path=(path,) if isinstance(path, str) else tuple(path),
        scale=Fraction(value.get("scale", 1)),
        default=None if default is None else Fraction(default),
    )
