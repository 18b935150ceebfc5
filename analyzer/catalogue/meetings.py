"""Checking own offsets across catalogues: names, rims, poses that couple, and agreement."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from analyzer.base.frame import POSES, axis_of
from analyzer.catalogue.agreement import Lister, Listing, check_agreement
from analyzer.catalogue.build import build_pose, build_rim
from analyzer.catalogue.build_joints import build_meeting
from analyzer.catalogue.catalogue import Constant, Meeting
from analyzer.catalogue.meeting_format import MOST_MEETINGS, MOST_MET
from analyzer.catalogue.notes import KeyPath, Notes, hint, said
from analyzer.catalogue.posed import meeting_signs, poses_of


@dataclass(frozen=True)
class _Entry:
    """An entry of one of the documents, and where mistakes in it go."""

    table: dict[str, Any]
    path: KeyPath
    notes: Notes


def check_meetings(checked: list[tuple[dict[str, Any], Notes]], *, complete: bool) -> None:
    """Note every mistake in own offsets that shows only beside the other types of a run.

    Parameters
    ----------
    checked
        Each document with the notes of the checks so far; what these found wrong is left alone.
    complete
        Whether these are all the documents of the run. Otherwise a name without an entry is no
        mistake: the entry may stand in one that could not be read.
    """
    entries: dict[str, _Entry] = {}
    for document, notes in checked:
        parts = document.get("parts")
        for block, table in parts.items() if isinstance(parts, dict) else ():
            if isinstance(table, dict):
                entries.setdefault(block, _Entry(table, ("parts", block), notes))
    listings = [
        (block, path, meeting)
        for block, entry in entries.items()
        for path, meeting in _meetings(entry)
    ]
    met = sum(len(meeting.types) for _, _, meeting in listings)
    if met > MOST_MET:
        found = f"found own offsets that name {met:,} types in all the catalogues together"
        checked[-1][1].add(("parts",), found, f"at most {MOST_MET:,}")
        return
    for block, path, meeting in listings:
        _check_types(entries, block, path, meeting, complete=complete)
    listers: dict[str, Lister | None] = {}
    for block, path, meeting in listings:
        for name in (block, *meeting.types):
            if name not in listers:
                listers[name] = _lister(entries[name]) if name in entries else None
        _check_couples(entries[block].notes, path, meeting, block, listers)
    check_agreement(
        [
            Listing(block, meeting, entries[block].notes, path)
            for block, path, meeting in listings
            if entries[block].notes.clean(path)
        ],
        {block: lister for block, lister in listers.items() if lister is not None},
    )


def _meetings(entry: _Entry) -> Iterator[tuple[KeyPath, Meeting]]:
    """Yield the own offsets of an entry in which nothing is wrong so far."""
    meets = entry.table.get("meets")
    if not isinstance(meets, list) or len(meets) > MOST_MEETINGS:
        return
    for index, table in enumerate(meets):
        path = (*entry.path, "meets", index)
        if entry.notes.clean(path):
            yield path, build_meeting(table)


def _check_types(
    entries: dict[str, _Entry], block: str, path: KeyPath, meeting: Meeting, *, complete: bool
) -> None:
    notes = entries[block].notes
    toothed = meeting.ratio is None
    if toothed and "rim" not in entries[block].table:
        found = "found a toothed offset in a type without a rim"
        notes.add((*path, "toothed"), found, "a rim, or a stated ratio")
    for index, name in enumerate(meeting.types):
        where = (*path, "types", index)
        if name not in entries:
            if complete:
                found = f"no catalogue has an entry for {said(name)}"
                meant = hint(notes.near(name, entries))
                notes.add(where, f"{found}{meant}", "a block that has an entry")
        elif toothed and "rim" not in entries[name].table:
            found = f"found {said(name)}, which has no rim"
            notes.add(where, found, "a type with a rim, or a stated ratio")


def _lister(entry: _Entry) -> Lister | None:
    """Return what counts of an entry here; None where something about it is wrong."""
    table, path, notes = entry.table, entry.path, entry.notes
    if "pose" not in table or not notes.clean((*path, "pose")):
        return None
    if not notes.clean((*path, "rim")):
        return None
    teeth = build_rim(table["rim"]).teeth if "rim" in table else None
    poses = poses_of(build_pose(table["pose"]))
    return Lister(
        poses=poses,
        axes=tuple(sorted({axis_of(POSES[pose][0]) for pose in poses})),
        teeth=teeth.value if isinstance(teeth, Constant) else None,
    )


def _check_couples(
    notes: Notes,
    path: KeyPath,
    meeting: Meeting,
    block: str,
    listers: dict[str, Lister | None],
) -> None:
    """Note an own offset that couples in no pose of this type with any of those it names."""
    here = listers[block]
    others = [listers[name] for name in meeting.types]
    if here is None or not notes.clean(path) or not all(others):
        return
    axes = {axis for other in others if other is not None for axis in other.axes}
    # Wheels on one axis have no pitch point between them.
    coaxial = meeting.ratio is None and not any(meeting.at[1:])
    signs = (meeting_signs(meeting, pose)[axis] for pose in here.poses for axis in axes)
    if any(signs) and not coaxial:
        return
    found = "found an offset that couples in no pose of its types"
    if meeting.contact is None:
        notes.add(path, found, "axes that can be parallel, one beside the other")
    else:
        expected = (
            "axes that can meet at a right angle, and a contact in their plane and on neither"
        )
        notes.add(path, found, expected)
