"""Checking what the shapes cannot say: roles, poses, rims, stored numbers without an entity."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from analyzer.base.frame import FACES, axis_of
from analyzer.catalogue.format import KIND_PLACEMENTS, MOST_TYPES, ROLE_RULES
from analyzer.catalogue.notes import KeyPath, Notes
from analyzer.catalogue.pose_format import MOST_CASES


def check_rules(document: dict[str, Any], notes: Notes) -> None:
    """Note every mistake in a document that its shapes do not show.

    Parameters
    ----------
    document
        The document; what `notes` says is wrong about its structure is left alone.
    notes
        Where mistakes go, and what the check of the structure found.
    """
    parts = document.get("parts", {})
    if not isinstance(parts, dict):
        return
    if len(parts) > MOST_TYPES:
        notes.add(("parts",), f"found {len(parts):,} entries", f"at most {MOST_TYPES:,}")
    for block, entry in parts.items():
        if isinstance(entry, dict):
            path = ("parts", block)
            _check_role(entry, path, notes)
            _check_stored(entry, path, notes)
            _check_pose(entry.get("pose"), (*path, "pose"), notes)
            _check_rim(entry.get("rim"), (*path, "rim"), notes)


def _check_role(entry: dict[str, Any], path: KeyPath, notes: Notes) -> None:
    role = entry.get("role")
    rule = ROLE_RULES.get(role) if isinstance(role, str) else None
    if rule is None:
        return
    for key in rule.required:
        if key not in entry:
            notes.missing((*path, key), f"a number, since the role is {role}")
    for key in rule.refused:
        if key in entry:
            notes.add((*path, key), f"found {key} with the role {role}", "no such key there")


def _check_stored(entry: dict[str, Any], path: KeyPath, notes: Notes) -> None:
    if entry.get("entity") is not False:
        return
    for where, number in _numbers(entry, path):
        if isinstance(number, dict) and "stored" in number:
            notes.add(
                where,
                "found a stored number in a part without a block entity",
                "a constant or a number by property, or a list of ids in entity",
            )


def _numbers(entry: dict[str, Any], path: KeyPath) -> Iterator[tuple[KeyPath, Any]]:
    for key in ("rated_rpm", "torque", "active"):
        yield (*path, key), entry.get(key)
    ends, rim = entry.get("ends"), entry.get("rim")
    if isinstance(ends, dict):
        for side, factor in ends.items():
            yield (*path, "ends", side), factor
    if isinstance(rim, dict):
        yield (*path, "rim", "teeth"), rim.get("teeth")


def _check_pose(pose: Any, path: KeyPath, notes: Notes) -> None:
    if not isinstance(pose, dict):
        return
    _check_right_angle(pose, path, notes)
    cases = pose.get("cases")
    if not isinstance(cases, list):
        return
    earlier: list[tuple[int, frozenset[tuple[str, str]]]] = []
    for index, case in enumerate(cases[:MOST_CASES]):
        here = (*path, "cases", index)
        if not isinstance(case, dict):
            continue
        _check_right_angle(case, here, notes)
        when = case.get("when")
        if not isinstance(when, dict) or not notes.clean((*here, "when")):
            continue
        wanted = frozenset(when.items())
        for number, covering in earlier:
            if covering <= wanted:
                notes.add(
                    (*here, "when"),
                    f"case {number + 1} already holds whenever this one does",
                    "a case that no earlier one covers",
                )
                break
        earlier.append((index, wanted))


def _check_right_angle(table: dict[str, Any], path: KeyPath, notes: Notes) -> None:
    front, top = table.get("front"), table.get("top")
    if front not in FACES or top not in FACES:
        return
    axis = axis_of(FACES.index(front))
    if axis_of(FACES.index(top)) == axis:
        across = [face for number, face in enumerate(FACES) if axis_of(number) != axis]
        notes.add(
            (*path, "top"),
            f"found {top}, which is not at a right angle to the front {front}",
            f"one of {', '.join(across)}",
        )


def _check_rim(rim: Any, path: KeyPath, notes: Notes) -> None:
    if not isinstance(rim, dict):
        return
    kind, placements = rim.get("kind"), rim.get("placements")
    if not isinstance(kind, str) or kind not in KIND_PLACEMENTS or not isinstance(placements, list):
        return
    for index, placement in enumerate(placements):
        here = (*path, "placements", index)
        if notes.clean(here) and placement not in KIND_PLACEMENTS[kind]:
            notes.add(
                here,
                f"found {placement} in a rim of kind {kind}",
                f"one of {', '.join(KIND_PLACEMENTS[kind])}",
            )
