"""From a document without mistakes to the types it describes."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, cast

from analyzer.base.frame import FACES, SIDES, default_top, pose_of
from analyzer.catalogue.build_joints import (
    build_governor,
    build_link,
    build_meeting,
    build_recorded,
    build_switch,
)
from analyzer.catalogue.build_number import build_cell, build_number
from analyzer.catalogue.catalogue import (
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
    Warnings,
)
from analyzer.catalogue.port_format import KIND_PLACEMENTS


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
        warnings=_warnings(head.get("warnings", {})),
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


def _warnings(table: dict[str, Any]) -> Warnings:
    share = table.get("thin_headroom")
    return Warnings(
        thin_headroom=Warnings.thin_headroom if share is None else Fraction(share),
        heavy_parts=table.get("heavy_parts", Warnings.heavy_parts),
        heavy_chunks=table.get("heavy_chunks", Warnings.heavy_chunks),
        heavy_switches=table.get("heavy_switches", Warnings.heavy_switches),
    )


def _part(block: str, entry: dict[str, Any], *, index: int, source: Source) -> PartType:
    limit = entry.get("speed_limit_rpm")
    return PartType(
        block=block,
        source=index,
        role=entry["role"],
        entities=tuple(entry["entity"] or ()),
        pose=build_pose(entry["pose"]),
        ends=_ends(entry.get("ends", {})),
        rim=build_rim(entry["rim"]) if "rim" in entry else None,
        rated_rpm=_optional(entry.get("rated_rpm")),
        torque=_optional(entry.get("torque")),
        active=_optional(entry.get("active")),
        speed_limit_rpm=source.speed_limit_rpm if limit is None else Fraction(limit),
        fits=entry.get("fits", source.namespace),
        only=tuple(
            (name, tuple(sorted(values))) for name, values in sorted(entry.get("only", {}).items())
        ),
        meets=tuple(map(build_meeting, entry.get("meets", ()))),
        link=build_link(entry["link"]) if "link" in entry else None,
        switch=build_switch(entry["switch"]) if "switch" in entry else None,
        governor=build_governor(entry["governor"]) if "governor" in entry else None,
        recorded=build_recorded(entry["recorded_rpm"]) if "recorded_rpm" in entry else None,
        least_rpm=_optional(entry.get("least_rpm")),
    )


def build_pose(table: dict[str, Any]) -> PoseRule:
    """Return the pose rule that a table gives."""
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
    return pose_of(front, top)


def _ends(table: dict[str, Any]) -> tuple[End, ...]:
    found = []
    for number, side in enumerate(SIDES):
        if side not in table:
            continue
        end = table[side]
        if isinstance(end, dict) and "factor" in end:
            found.append(End(number, build_number(end["factor"]), build_cell(end.get("cell"))))
        else:
            found.append(End(number, build_number(end)))
    return tuple(found)


def build_rim(table: dict[str, Any]) -> Rim:
    """Return the rim that a table gives."""
    placements = table.get("placements", KIND_PLACEMENTS[table["kind"]])
    return Rim(
        kind=table["kind"],
        teeth=build_number(table["teeth"]),
        placements=frozenset(cast("list[Placement]", placements)),
        cell=build_cell(table.get("cell")),
    )


def _optional(value: Any) -> Number | None:
    return None if value is None else build_number(value)
