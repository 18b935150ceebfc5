"""Checking what the shapes cannot say: poses, rims, ports, what a block entity has to store."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from analyzer.base.frame import FACES, SIDES, axis_of
from analyzer.catalogue.catalogue import Port
from analyzer.catalogue.format import MOST_TYPES
from analyzer.catalogue.meeting_format import MOST_MEETINGS
from analyzer.catalogue.notes import KeyPath, Notes
from analyzer.catalogue.port_format import KIND_PLACEMENTS, PORT
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
            _check_stored(entry, path, notes)
            _check_pose(entry.get("pose"), (*path, "pose"), notes)
            _check_rim(entry.get("rim"), (*path, "rim"), notes)
            _check_ports(entry, path, notes)
            _check_meets(entry.get("meets"), (*path, "meets"), notes)
            _check_partner(entry.get("link"), (*path, "link"), notes)


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
    link = entry.get("link")
    if isinstance(link, dict) and "partner" in link:
        _note_stored("partner", (*path, "link", "partner"), notes)
    if "recorded_rpm" in entry:
        _note_stored("speed", (*path, "recorded_rpm"), notes)


def _note_stored(what: str, path: KeyPath, notes: Notes) -> None:
    found = f"found a stored {what} in a part without a block entity"
    notes.add(path, found, "no such key there, or a list of ids in entity")


def _numbers(entry: dict[str, Any], path: KeyPath) -> Iterator[tuple[KeyPath, Any]]:
    for key in ("rated_rpm", "torque", "active", "least_rpm"):
        yield (*path, key), entry.get(key)
    ends = entry.get("ends")
    for side, end in ends.items() if isinstance(ends, dict) else ():
        if isinstance(end, dict) and "factor" in end:
            yield (*path, "ends", side, "factor"), end["factor"]
        else:
            yield (*path, "ends", side), end
    for table, key in (
        ("rim", "teeth"),
        ("link", "diameter"),
        ("switch", "on"),
        ("governor", "set_rpm"),
    ):
        found = entry.get(table)
        if isinstance(found, dict):
            yield (*path, table, key), found.get(key)


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


def _check_ports(entry: dict[str, Any], path: KeyPath, notes: Notes) -> None:
    """Note ports that a switch or a governor names and the type does not have."""
    ends = entry.get("ends")
    sides = [side for side in SIDES if isinstance(ends, dict) and side in ends]
    ports = [*sides, *(key for key in (str(Port.RIM), str(Port.LINK)) if key in entry)]
    expected = f"one of {', '.join(ports)}" if ports else "a port that the type has; it has none"
    for where, port in _named_ports(entry, path):
        # A list that is too long was not looked into: anything may stand there.
        if port in PORT.words and port not in ports and notes.clean(where):
            notes.add(where, f"found {port}, which the type does not have", expected)


def _named_ports(entry: dict[str, Any], path: KeyPath) -> Iterator[tuple[KeyPath, Any]]:
    switch, governor = entry.get("switch"), entry.get("governor")
    if isinstance(switch, dict):
        opens = switch.get("opens")
        for index, port in enumerate(opens if isinstance(opens, list) else ()):
            yield (*path, "switch", "opens", index), port
        if "flips" in switch:
            yield (*path, "switch", "flips"), switch["flips"]
    if isinstance(governor, dict) and "port" in governor:
        yield (*path, "governor", "port"), governor["port"]


def _check_meets(meets: Any, path: KeyPath, notes: Notes) -> None:
    for index, meeting in enumerate(meets[:MOST_MEETINGS] if isinstance(meets, list) else ()):
        where = (*path, index, "at")
        if isinstance(meeting, dict) and meeting.get("at") == [0, 0, 0] and notes.clean(where):
            notes.add(where, "found the part's own block", "an offset to another block")


def _check_partner(link: Any, path: KeyPath, notes: Notes) -> None:
    partner = link.get("partner") if isinstance(link, dict) else None
    if not isinstance(partner, dict) or partner.get("stored") != []:
        return
    form = partner.get("form")
    if form in ("list", "packed"):
        where = (*path, "partner", "stored")
        notes.add(where, f"found an empty list with the form {form}", "at least one step")
