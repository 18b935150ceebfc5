"""Where an earlier part reaches, and which blocks would be coupled to it there."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace

from tests.grown.variants import Variant
from tests.judge.assembly import STEPS
from tests.judge.parts import Part
from tests.judge.placed import Place
from tests.judge.vectors import Vector, add, dot, minus, scale


@dataclass(frozen=True)
class Offer:
    """A block for a place, and whom it is to name for the partner of its link."""

    variant: Variant
    place: Place
    partner: Vector | None = None

    @property
    def part(self) -> Part:
        """The part that it would be, were its numbers the first of all."""
        part = self.variant.part
        dimension, at = self.place
        link = part.link
        if link is not None and self.partner is not None:
            link = replace(link, partner=self.partner)
        placement = replace(part.placement, dimension=dimension, at=at)
        return replace(part, placement=placement, link=link)


@dataclass(frozen=True)
class Reach:
    """A position at which a part reaches, and what fits there: blocks with the way to them.

    `belt`: whatever stands there has to name the part for its partner.
    """

    at: Vector
    fitting: list[tuple[Variant, Vector]]
    belt: bool = False


#: From where something is looked at to where it is.
HERE: Vector = (0, 0, 0)


class Reaches:
    """The blocks of a catalogue by what they have to join with."""

    def __init__(self, variants: list[Variant]) -> None:
        self._ends: dict[Vector, list[tuple[Variant, Vector]]] = defaultdict(list)
        self._rims: dict[tuple[str, Vector], list[tuple[Variant, Vector]]] = defaultdict(list)
        self._blocks: dict[str, list[tuple[Variant, Vector]]] = defaultdict(list)
        self._listing: dict[str, list[tuple[Variant, Vector]]] = defaultdict(list)
        self._belts: dict[Vector, list[tuple[Variant, Vector]]] = defaultdict(list)
        for variant in variants:
            part = variant.part
            self._blocks[variant.block].append((variant, HERE))
            for end in part.ends:
                self._ends[end.normal].append((variant, end.cell))
            if part.rim is not None:
                self._rims[part.rim.kind, part.axis].append((variant, part.rim.cell))
            for meeting in part.meets:
                for block in sorted(meeting.types):
                    self._listing[block].append((variant, meeting.at))
            if part.link is not None:
                self._belts[part.axis].append((variant, HERE))

    def of(self, rng: random.Random, part: Part) -> list[Reach]:
        """Return some of the ways in which a part can be joined; none where it cannot be."""
        found = list(self._by_ends(part))
        if part.rim is not None:
            found += self._by_rim(part, rng.sample(STEPS, 4))
        found += self._by_offsets(part)
        if part.link is not None:
            found += self._by_belt(rng, part)
        return [reach for reach in found if reach.fitting]

    def _by_ends(self, part: Part) -> Iterator[Reach]:
        for end in part.ends:
            beyond = add(add(part.at, end.cell), end.normal)
            yield Reach(beyond, self._ends.get(scale(-1, end.normal), []))

    def _by_rim(self, part: Part, steps: list[Vector]) -> Iterator[Reach]:
        assert part.rim is not None
        kind = part.rim.kind
        other = {"near": "far", "far": "near"}[kind]
        for step in steps:
            across = dot(step, part.axis) == 0
            edge = dot(step, step) == 2
            fitting: list[tuple[Variant, Vector]] = []
            if across and edge:
                fitting = self._rims.get((other, part.axis), [])
            elif across and kind == "near":
                fitting = self._rims.get(("near", part.axis), [])
            elif edge and kind == "far":
                crossing = tuple(abs(s) * (1 - a) for s, a in zip(step, part.axis, strict=True))
                fitting = self._rims.get(("far", crossing), [])
            yield Reach(add(part.centre(), step), fitting)

    def _by_offsets(self, part: Part) -> Iterator[Reach]:
        for meeting in part.meets:
            for block in sorted(meeting.types):
                yield Reach(add(part.at, meeting.at), self._blocks.get(block, []))
        yield Reach(part.at, self._listing.get(part.placement.block, []))

    def _by_belt(self, rng: random.Random, part: Part) -> Iterator[Reach]:
        fitting = self._belts.get(part.axis, [])
        widest = rng.choice([3, 3, 3, 6, 6, 40, 40, 600])
        away = tuple(rng.randint(-widest, widest) for _ in "xyz")
        yield Reach(add(part.at, (away[0], away[1] % 9 - 4, away[2])), fitting, belt=True)
        if part.link.partner is not None:
            yield Reach(part.link.partner, fitting)

    @staticmethod
    def offer(reach: Reach, part: Part, chosen: tuple[Variant, Vector]) -> Offer:
        variant, way = chosen
        partner = part.at if reach.belt else None
        return Offer(variant, (part.place[0], minus(reach.at, way)), partner)
