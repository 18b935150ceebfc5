"""Random own offsets for the types of a catalogue."""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from tests.grown.lies import frames
from tests.judge.vectors import Vector, dot

#: Where another part may be: two or three steps away, mostly clear of ends and rims.
FAR_AND_NEAR = [(0, 2, 0), (0, 0, -2), (0, 1, 0), (0, 2, 1), (2, 0, 0), (1, 2, 0), (0, -3, 0)]
#: Ratios of chains, as they stand in a catalogue, and the other way round.
RATIOS: list[tuple[Any, Any]] = [
    (1, 1),
    (-1, -1),
    ([2, 3], Decimal("1.5")),
    (2, Decimal("0.5")),
    ([-1, 3], -3),
]


def add_meetings(rng: random.Random, parts: dict[str, dict[str, Any]], *, chance: float) -> None:
    """Give some types own offsets, which agree wherever both sides list one.

    Two types list each other only with one ratio for all their offsets, and teeth only without a
    contact cell; so do the parts of one type among each other.
    """
    paired: set[frozenset[str]] = set()
    for lister, entry in parts.items():
        if rng.random() >= chance:
            continue
        for met in rng.sample(list(parts), min(3, len(parts))):
            pair = frozenset((lister, met))
            if pair not in paired and rng.random() < 0.7:
                paired.add(pair)
                meetings, back = _meetings(rng, parts, lister, met)
                entry.setdefault("meets", []).extend(meetings)
                if back and lister != met:
                    parts[met].setdefault("meets", []).extend(back)
    for entry in parts.values():
        if entry.get("meets") == []:
            del entry["meets"]


def _meetings(
    rng: random.Random, parts: dict[str, dict[str, Any]], lister: str, met: str
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Return what a type lists of another, and what the other lists in turn."""
    entry, other = parts[lister], parts[met]
    toothed = "rim" in entry and "rim" in other and rng.random() < 0.7
    if toothed and lister != met and rng.random() < 0.4:
        found = list(_with_contact(entry, other))
        if found:
            at, contact = rng.choice(found)
            common = {"at": list(at), "types": [met], "toothed": True}
            return [{**common, "contact": list(contact)}], []
    if not _can_be_parallel(entry, other):
        return [], []
    places = rng.sample(FAR_AND_NEAR, rng.randint(1, 2))
    if toothed:
        places = [(0, *at[1:]) for at in places if any(at[1:])]
        here: dict[str, Any] = {"types": [met], "toothed": True}
        back = {"types": [lister], "toothed": True}
    else:
        ratio, inverse = rng.choice(RATIOS[:2] if lister == met else RATIOS)
        here, back = {"types": [met], "ratio": ratio}, {"types": [lister], "ratio": inverse}
    listed = [{"at": list(at), **here} for at in places]
    if lister == met or rng.random() < 0.6:
        return listed, []
    return listed, [{"at": [-step for step in at], **back} for at in places[:1]]


def _can_be_parallel(entry: dict[str, Any], other: dict[str, Any]) -> bool:
    axes = {_axis(front) for front, _, _ in frames(entry["pose"])}
    return any(_axis(front) in axes for front, _, _ in frames(other["pose"]))


def _axis(front: Vector) -> Vector:
    return (abs(front[0]), abs(front[1]), abs(front[2]))


def _with_contact(entry: dict[str, Any], other: dict[str, Any]) -> Iterator[tuple[Vector, Vector]]:
    """Yield offsets in the plane of front and top, each with a cell in which wheels can touch.

    The axis of the other one is to be parallel to the top: it is crossed at the offset's distance
    along the front.
    """
    axes = {_axis(front) for front, _, _ in frames(other["pose"])}
    if not any(_axis(top) in axes for _, top, _ in frames(entry["pose"])):
        return
    for at in ((1, 2, 0), (2, 1, 0), (1, -1, 0), (2, -2, 0), (-1, 2, 0)):
        for contact in ((0, at[1], 0), (at[0] + 1, 1, 0), (0, -1, 0)):
            if dot(contact, (1, 0, 0)) != at[0] and contact[1] != 0:
                yield at, contact
