"""Small builds for the judge's own tests: entries by name, blocks by position."""

from __future__ import annotations

from typing import Any

from tests.judge.placed import Place, Placement
from tests.judge.plain import judge
from tests.judge.verdicts import Verdict
from tests.judge.views import EVERYTHING, View

HEADING = {
    "format": 1,
    "title": "Trains of wheels",
    "namespace": "quayworks",
    "version": "1",
    "licence": "MIT",
}
THROUGH = {"front": 1, "back": -1}
DIMENSION = "quay"


def shaft(**more: Any) -> dict[str, Any]:
    """Return a through shaft about its front, without a block entity."""
    return {
        "role": "transmission",
        "entity": False,
        "pose": {"facing": "facing"},
        "ends": THROUGH,
        **more,
    }


def wheel(teeth: int, kind: str = "near", **more: Any) -> dict[str, Any]:
    """Return a through shaft about an axis, with a rim."""
    return shaft(**{"pose": {"axis": "axis"}, "rim": {"kind": kind, "teeth": teeth}, **more})


def driving(entry: dict[str, Any], rated: Any, torque: int = 1, **more: Any) -> dict[str, Any]:
    return {**entry, "role": "mover", "rated_rpm": rated, "torque": torque, **more}


def loaded(entry: dict[str, Any], torque: Any, **more: Any) -> dict[str, Any]:
    return {**entry, "role": "machine", "torque": torque, **more}


def keeping(entry: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return the entry with a block entity, named like every other here."""
    return {**entry, "entity": ["quayworks:drive"], **more}


def solved(
    entries: dict[str, dict[str, Any]],
    build: dict[tuple[int, int, int], tuple[Any, ...]],
    *,
    view: View = EVERYTHING,
    heading: dict[str, Any] = HEADING,
) -> list[Verdict]:
    """Judge a build given as {position: (entry, pose value)} in one dimension.

    A third item is the data of a block entity, a fourth further properties.
    """
    blocks = [
        _placement(at, *given) if len(given) > 1 else _placement(at, given[0], "")
        for at, given in build.items()
    ]
    return judge([{"catalogue": heading, "parts": entries}], blocks, view)


def _placement(
    at: tuple[int, int, int],
    name: str,
    pose: str,
    data: dict[str, Any] | None = None,
    properties: dict[str, str] | None = None,
) -> Placement:
    return Placement(
        DIMENSION,
        at,
        name,
        {"axis": pose, "facing": pose, **(properties or {})},
        None if data is None else {"id": "quayworks:drive", **data},
    )


def here(*at: int) -> Place:
    return (DIMENSION, (at[0], at[1], at[2]))


def speed_at(verdicts: list[Verdict], *at: int) -> Any:
    """Return the speed of the part at a position, whatever its network."""
    place = here(*at)
    (found,) = [verdict.speeds[place] for verdict in verdicts if place in verdict.speeds]
    return found
