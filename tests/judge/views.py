"""What of a build was looked at, what aims beyond that, and which links lead nowhere."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tests.judge.entries import DATA_VERSION
from tests.judge.parts import Part
from tests.judge.placed import Place
from tests.judge.vectors import WORLD, Vector, add, cross, dot, scale

#: A chunk: dimension and its place, counted in chunks of 16 × 16 blocks.
Chunk = tuple[str, int, int]


@dataclass(frozen=True)
class View:
    """The chunks that were looked at, or None for all that there are, and their data version."""

    chunks: frozenset[Chunk] | None = None
    data_version: int = DATA_VERSION

    def shows(self, dimension: str, at: Vector) -> bool:
        return self.chunks is None or chunk_of(dimension, at) in self.chunks


#: All that there is, in a present-day layout.
EVERYTHING = View()


def chunk_of(dimension: str, at: Vector) -> Chunk:
    return (dimension, at[0] // 16, at[2] // 16)


def is_cut(part: Part, view: View) -> bool:
    """Return whether a part aims at anything that was not looked at.

    It aims with its ends, with the offsets of its rim, with the offsets of its own (but not with
    those by which others might name it), and with the link it stores; a port that a switch has
    opened aims all the same.
    """
    return any(not view.shows(part.place[0], at) for at in aims_of(part))


def aims_of(part: Part) -> Iterator[Vector]:
    """Yield every position at which a part aims."""
    for end in part.ends:
        yield add(add(part.at, end.cell), end.normal)
    if part.rim is not None:
        for step in rim_steps(part):
            yield add(part.centre(), step)
    for meeting in part.meets:
        yield add(part.at, meeting.at)
    if part.link is not None and part.link.partner is not None:
        yield part.link.partner


def rim_steps(part: Part) -> list[Vector]:
    """Return the ways to where a second rim might touch a part's, in the placements it lists."""
    along = part.axis
    across = [way for way in WORLD.values() if dot(way, along) == 0]
    corners = [add(one, other) for one in across for other in across if any(cross(one, other))]
    steps = {
        "beside": across,
        "diagonal": corners,
        "crossed": [add(scale(way, along), one) for way in (-1, 1) for one in across],
    }
    return list(itertools.chain.from_iterable(steps[name] for name in sorted(part.rim.placements)))


def broken_link(part: Part, parts: Mapping[Place, Part], view: View) -> str | None:
    """Return why the link that a part stores couples nothing; None where it is sound.

    None also where nobody can tell, since the partner was not looked at. Diameters that cannot be
    used do not make a link broken.
    """
    if part.link is None or part.link.partner is None:
        return None
    dimension, partner = part.place[0], part.link.partner
    if partner == part.at:
        return "itself"
    if not view.shows(dimension, partner):
        return None
    other = parts.get((dimension, partner))
    if other is None:
        return "missing"
    if other.link is None:
        return "no-link"
    return None if other.axis == part.axis else "not-parallel"
