"""Whether own offsets that different types list agree wherever both hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from analyzer.base.exact import exact_text
from analyzer.base.frame import AXES, POSES, axis_of, to_world
from analyzer.base.placements import Offset
from analyzer.catalogue.catalogue import Meeting
from analyzer.catalogue.notes import KeyPath, Notes, key_text
from analyzer.catalogue.posed import meeting_signs


@dataclass(frozen=True)
class Lister:
    """What counts of a type: its poses, the world axes of their fronts, its teeth if constant."""

    poses: tuple[int, ...]
    axes: tuple[int, ...]
    teeth: Fraction | None


@dataclass(frozen=True)
class Listing:
    """An own offset: the block whose entry lists it, and where mistakes in it go."""

    block: str
    meeting: Meeting
    notes: Notes
    path: KeyPath


class _Place(NamedTuple):
    """How two parts stand to each other: the way from the first to the second, and their axes."""

    offset: Offset
    axis: int
    other_axis: int

    def reversed(self) -> _Place:
        """Return the same seen from the second."""
        x, y, z = self.offset
        return _Place((-x, -y, -z), self.other_axis, self.axis)

    def __str__(self) -> str:
        """Say how the second stands."""
        x, y, z = self.offset
        return f"{x} {y} {z} away, axes {AXES[self.axis]} and {AXES[self.other_axis]}"


class _Turn(NamedTuple):
    """Speed of the second part per speed of the first; the magnitude is None where it varies."""

    sign: int
    magnitude: Fraction | None

    def reversed(self) -> _Turn:
        """Return the same seen from the second."""
        return _Turn(self.sign, None if self.magnitude is None else 1 / self.magnitude)

    def contradicts(self, other: _Turn) -> bool:
        """Tell whether two parts cannot turn both ways."""
        if self.sign != other.sign:
            return True
        return None not in (self.magnitude, other.magnitude) and self.magnitude != other.magnitude

    def __str__(self) -> str:
        """Say what it is."""
        if self.magnitude is None:
            return "the same sense" if self.sign > 0 else "opposite senses"
        return f"the ratio {exact_text(self.sign * self.magnitude)}"


class _Sight(NamedTuple):
    """A way in which a listing couples: whether the second part lists it, and in which pose."""

    listing: Listing
    by_second: bool
    pose: int
    place: _Place
    turn: _Turn


class _Seen:
    """What the listings of one pair of types say so far."""

    def __init__(self) -> None:
        self._by_side: dict[tuple[bool, _Place], dict[_Turn, Listing]] = {}
        self._by_pose: dict[tuple[bool, _Place, int], dict[_Turn, Listing]] = {}

    def add(self, sight: _Sight) -> None:
        """Take in one more."""
        side, place = sight.by_second, sight.place
        for turns in (
            self._by_side.setdefault((side, place), {}),
            self._by_pose.setdefault((side, place, sight.pose), {}),
        ):
            turns.setdefault(sight.turn, sight.listing)

    def contradiction(self, sight: _Sight) -> tuple[Listing, _Turn] | None:
        """Return what contradicts one, or None.

        What the other part lists holds whatever this one's pose is. What this part lists in
        another pose cannot hold at the same time.
        """
        side, place = sight.by_second, sight.place
        other = self._by_side.get((not side, place), {})
        same = self._by_pose.get((side, place, sight.pose), {})
        for turns in (other, same):
            for turn, listing in turns.items():
                if turn.contradicts(sight.turn):
                    return listing, turn
        return None


def check_agreement(listings: list[Listing], listers: dict[str, Lister]) -> None:
    """Note every own offset that contradicts an earlier one for some pair of poses.

    Two listings contradict each other where they couple the same two parts with different signs,
    or with different ratios that are both constant. Each is noted once at most.

    Parameters
    ----------
    listings
        The own offsets in the order in which they were written.
    listers
        The types by block name; others that a listing names are passed over.
    """
    by_pair: dict[tuple[str, str], list[Listing]] = {}
    for listing in listings:
        for name in listing.meeting.types:
            if listing.block in listers and name in listers:
                pair = min(listing.block, name), max(listing.block, name)
                by_pair.setdefault(pair, []).append(listing)
    wrong: set[KeyPath] = set()
    for (first, second), found in by_pair.items():
        if len(found) > 1 or first == second:
            _check_pair(found, first, second, listers, wrong)


def _check_pair(
    listings: list[Listing],
    first: str,
    second: str,
    listers: dict[str, Lister],
    wrong: set[KeyPath],
) -> None:
    seen = _Seen()
    for listing in listings:
        if listing.path in wrong:
            continue
        own = _Seen()
        sights = list(_sights(listing, first, second, listers))
        for sight in sights:
            found = seen.contradiction(sight) or own.contradiction(sight)
            if found is not None:
                wrong.add(listing.path)
                _note(sight, *found)
                break
            own.add(sight)
        else:
            for sight in sights:
                seen.add(sight)


def _sights(
    listing: Listing, first: str, second: str, listers: dict[str, Lister]
) -> Iterator[_Sight]:
    """Yield every way in which a listing couples the first with the second."""
    if listing.block == first:
        for pose, place, turn in _turns(listing.meeting, listers[first], listers[second]):
            yield _Sight(listing, False, pose, place, turn)
    if listing.block == second:
        for pose, place, turn in _turns(listing.meeting, listers[second], listers[first]):
            yield _Sight(listing, True, pose, place.reversed(), turn.reversed())


def _turns(meeting: Meeting, here: Lister, there: Lister) -> Iterator[tuple[int, _Place, _Turn]]:
    """Yield every way in which an own offset couples, with the pose of the part that lists it."""
    magnitude = None if meeting.ratio is None else abs(meeting.ratio)
    if meeting.ratio is None and here.teeth is not None and there.teeth is not None:
        magnitude = here.teeth / there.teeth
    for pose in here.poses:
        signs = meeting_signs(meeting, pose)
        for other_axis in there.axes:
            if signs[other_axis]:
                place = _Place(to_world(pose, meeting.at), axis_of(POSES[pose][0]), other_axis)
                yield pose, place, _Turn(signs[other_axis], magnitude)


def _note(sight: _Sight, against: Listing, turn: _Turn) -> None:
    listing, place, here = sight.listing, sight.place, sight.turn
    if sight.by_second:
        place, here, turn = place.reversed(), here.reversed(), turn.reversed()
    if None in (here.magnitude, turn.magnitude):
        here, turn = _Turn(here.sign, None), _Turn(turn.sign, None)
    if against is listing:
        where = "the same offset, listed by the other part,"
    else:
        where = key_text(against.path)
    if against.notes.file != listing.notes.file:
        where = f"{where} of {against.notes.file}"
    found = f"found {here} where {where} gives {turn} (the other {place})"
    listing.notes.add(listing.path, found, "listings that agree wherever both hold")
