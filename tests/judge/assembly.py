"""Which parts of a build touch or are linked, through which ports.

Everything stands in dictionaries: ends by cell and face, rims by cell, parts by position, and for
each position those that aim at it. A part asks what is there, as a person who looks round would.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from tests.judge.contacts import by_belt, by_offset, in_mesh, one_shaft
from tests.judge.parts import End, Meeting, Part
from tests.judge.placed import Place
from tests.judge.vectors import Vector, add, scale

#: Steps to the 18 cells that share a face or an edge with a cell.
STEPS = tuple(
    step for step in itertools.product((-1, 0, 1), repeat=3) if 1 <= sum(map(abs, step)) <= 2
)


@dataclass(frozen=True, order=True)
class Contact:
    """Part b turns at `ratio` per turn of part a, each about its positive axis, a before b.

    That is so while both ports are closed and none is flipped. An own offset goes through the port
    ``offset`` of either part, which nothing opens, flips or governs.
    """

    a: Place
    port_a: str
    b: Place
    port_b: str
    ratio: Fraction

    @property
    def places(self) -> tuple[Place, Place]:
        return (self.a, self.b)


class Assembly:
    """Parts in their places."""

    def __init__(self, parts: Iterator[Part] | list[Part] = ()) -> None:
        self.parts: dict[Place, Part] = {}
        self._ends: dict[tuple[str, Vector, Vector], list[tuple[Part, End]]] = defaultdict(list)
        self._rims: dict[tuple[str, Vector], list[Part]] = defaultdict(list)
        self._aiming: dict[Place, list[tuple[Part, Meeting]]] = defaultdict(list)
        self._naming: dict[Place, list[Part]] = defaultdict(list)
        for part in parts:
            self.add(part)

    def add(self, part: Part) -> None:
        dimension = part.place[0]
        self.parts[part.place] = part
        for end in part.ends:
            self._ends[dimension, add(part.at, end.cell), end.normal].append((part, end))
        if part.rim is not None:
            self._rims[dimension, part.centre()].append(part)
        for meeting in part.meets:
            self._aiming[dimension, add(part.at, meeting.at)].append((part, meeting))
        if part.link is not None and part.link.partner is not None:
            self._naming[dimension, part.link.partner].append(part)

    def contacts_of(self, part: Part) -> list[Contact]:
        """Return every contact of a part with others that are here, each once, in order.

        The part itself need not be here.
        """
        found = [
            *self._by_ends(part),
            *self._by_rims(part),
            *self._by_offsets(part),
            *self._by_links(part),
        ]
        return sorted(set(found))

    def every_contact(self) -> list[Contact]:
        """Return every contact between the parts, each once, in order."""
        every = (self.contacts_of(part) for part in self.parts.values())
        return sorted(set(itertools.chain.from_iterable(every)))

    def _by_ends(self, part: Part) -> Iterator[Contact]:
        dimension = part.place[0]
        for end in part.ends:
            cell = add(add(part.at, end.cell), end.normal)
            for other, its in self._ends.get((dimension, cell, scale(-1, end.normal)), []):
                ratio = one_shaft(part, end, other, its)
                if ratio is not None and other.place != part.place:
                    yield _contact(part, end.side, other, its.side, ratio)

    def _by_rims(self, part: Part) -> Iterator[Contact]:
        if part.rim is None:
            return
        dimension, centre = part.place[0], part.centre()
        for step in STEPS:
            for other in self._rims.get((dimension, add(centre, step)), ()):
                ratio = in_mesh(part, other)
                if ratio is not None and other.place != part.place:
                    yield _contact(part, "rim", other, "rim", ratio)

    def _by_offsets(self, part: Part) -> Iterator[Contact]:
        dimension = part.place[0]
        pairs = [
            (part, meeting, self.parts.get((dimension, add(part.at, meeting.at))))
            for meeting in part.meets
        ]
        pairs += [(other, its, part) for other, its in self._aiming.get(part.place, [])]
        for lister, meeting, met in pairs:
            if met is not None and met.place != lister.place:
                ratio = by_offset(lister, meeting, met)
                if ratio is not None:
                    yield _contact(lister, "offset", met, "offset", ratio)

    def _by_links(self, part: Part) -> Iterator[Contact]:
        pairs = [(other, part) for other in self._naming.get(part.place, [])]
        if part.link is not None and part.link.partner is not None:
            other = self.parts.get((part.place[0], part.link.partner))
            pairs += [] if other is None else [(part, other)]
        for storing, other in pairs:
            ratio = by_belt(storing, other)
            if ratio is not None and other.place != storing.place:
                yield _contact(storing, "link", other, "link", ratio)


def _contact(one: Part, its_port: str, other: Part, other_port: str, ratio: Fraction) -> Contact:
    if one.place < other.place:
        return Contact(one.place, its_port, other.place, other_port, ratio)
    return Contact(other.place, other_port, one.place, its_port, 1 / ratio)
