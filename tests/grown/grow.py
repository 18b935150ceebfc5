"""Growing builds: part after part, each where it is likely to touch an earlier one."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

from tests.grown.clusters import Clusters
from tests.grown.recipes import Recipe
from tests.grown.variants import Variant, dress, spoil, variants
from tests.judge.contacts import STEPS, ratios
from tests.judge.entries import Part, Place, Placement, understand
from tests.judge.vectors import Vector, add, dot, scale

#: Chance that a new part is placed to couple to an earlier one.
TO_COUPLE = 0.7
DIMENSIONS = ("minecraft:overworld", "minecraft:the_nether", "quayworks:tidal_flats")


@dataclass(frozen=True)
class Wish:
    """What a build is to be like.

    While it has fewer than `gentle` parts, a build takes no part that would close an unbalanced
    loop; while fewer than `agreeing`, none that would set movers against each other. `weights` are
    the chances of each role.
    """

    size: int
    closing: float
    gentle: float
    agreeing: float
    weights: dict[str, float]


def make_wish(rng: random.Random) -> Wish:
    """Think of a build of up to 200 parts."""
    size = min(200, max(1, round(200 * rng.random() ** 1.5)))
    return Wish(
        size=size,
        closing=rng.choice([0.2, 0.5, 0.9]),
        gentle=size * rng.choice([0, 0.8, 1, 1, 1]),
        agreeing=size * rng.choice([0, 0, 0.6, 1]),
        weights={
            "mover": rng.choice([0.03, 0.1, 0.3]),
            "machine": rng.choice([0.05, 0.2, 0.5]),
            "transmission": 1,
        },
    )


class Growth:
    """A build while it grows. `build` holds its blocks in the order in which they were placed."""

    def __init__(self, rng: random.Random, recipe: Recipe, wish: Wish) -> None:
        self.rng = rng
        self.recipe = recipe
        self.wish = wish
        self.build: list[Placement] = []
        self.taken: set[Place] = set()
        self.clusters = Clusters()
        self.variants = variants(recipe)
        self.by_end: dict[Vector, list[Variant]] = {}
        self.by_rim: dict[tuple[str, Vector], list[Variant]] = {}
        for variant in self.variants:
            for normal, _ in variant.part.ends:
                self.by_end.setdefault(normal, []).append(variant)
            if variant.part.rim is not None:
                rim = (variant.part.rim.kind, variant.part.axis)
                self.by_rim.setdefault(rim, []).append(variant)

    def run(self) -> list[Placement]:
        """Grow until the build has its size."""
        origin = _origin(self.rng)
        dimensions = self.rng.sample(DIMENSIONS, self.rng.choice([1, 1, 1, 2]))
        for dimension in dimensions:
            self._add(self._choose(self.variants), (dimension, origin))
        for _ in range(20 * self.wish.size):
            if len(self.build) >= self.wish.size:
                break
            if self.rng.random() < TO_COUPLE:
                self._couple()
            else:
                self._scatter()
        return self.build

    def _choose(self, among: list[Variant]) -> Variant:
        roles = sorted({variant.part.role for variant in among})
        (role,) = self.rng.choices(roles, [self.wish.weights[role] for role in roles])
        return self.rng.choice([variant for variant in among if variant.part.role == role])

    def _scatter(self) -> None:
        """Put a part somewhere near an earlier one, at the mercy of chance."""
        dimension, (x, y, z) = self.rng.choice(self.build).place
        near = (x + self._jump(), y + self._jump(), z + self._jump())
        if (dimension, near) not in self.taken:
            self._add(self._choose(self.variants), (dimension, near))

    def _jump(self) -> int:
        return self.rng.randint(-3, 3)

    def _couple(self) -> None:
        """Put a part where it couples to an earlier one, and often to a second."""
        if not self.clusters.parts:
            return
        offers = [offer for offer in (self._offer() for _ in range(6)) if offer is not None]
        if self.rng.random() < self.wish.closing:
            offers.sort(key=lambda offer: -len(self.clusters.neighbours(_moved(*offer))))
        for variant, place in offers:
            if self._add(variant, place):
                return

    def _offer(self) -> tuple[Variant, Place] | None:
        """Return a part and a free place for it where some earlier part reaches."""
        places = list(self.clusters.parts)
        near = self.rng.choice(places[-40:] if self.rng.random() < 0.5 else places)
        part = self.clusters.parts[near]
        reaches = [(normal, self.by_end.get(scale(-1, normal), [])) for normal, _ in part.ends]
        if part.rim is not None:
            reaches += self.rng.sample(self._reaches_of_rim(part), 4)
        reaches = [(step, fitting) for step, fitting in reaches if fitting]
        if not reaches:
            return None
        step, fitting = self.rng.choice(reaches)
        place = (near[0], add(near[1], step))
        if place in self.taken:
            return None
        variant = self._choose(fitting)
        return (variant, place) if ratios(part, _moved(variant, place)) else None

    def _reaches_of_rim(self, part: Part) -> list[tuple[Vector, list[Variant]]]:
        other = {"near": "far", "far": "near"}[part.rim.kind]
        found = []
        for step in STEPS:
            across = dot(step, part.axis) == 0
            edge = dot(step, step) == 2
            if across and edge:
                found.append((step, self.by_rim.get((other, part.axis), [])))
            elif across and part.rim.kind == "near":
                found.append((step, self.by_rim.get(("near", part.axis), [])))
            elif edge and part.rim.kind == "far":
                crossing = tuple(abs(s) * (1 - a) for s, a in zip(step, part.axis, strict=True))
                found.append((step, self.by_rim.get(("far", crossing), [])))
        return found

    def _add(self, variant: Variant, place: Place) -> bool:
        bare = Placement(*place, variant.block, variant.properties)
        placement = dress(self.rng, self.recipe, bare)
        if self.rng.random() < 0.02:
            placement = spoil(self.rng, placement)
        part = understand([self.recipe.catalogue], placement)
        age = len(self.build)
        if part is not None and not self.clusters.add(
            part, gentle=age < self.wish.gentle, agreeing=age < self.wish.agreeing
        ):
            return False
        self.build.append(placement)
        self.taken.add(place)
        return True


def _moved(variant: Variant, place: Place) -> Part:
    """Return the part that a block would be at a place, were its numbers the first of all."""
    dimension, at = place
    placement = replace(variant.part.placement, dimension=dimension, at=at)
    return replace(variant.part, placement=placement)


def _origin(rng: random.Random) -> tuple[int, int, int]:
    """Return where a build begins: often near the border of a section, a chunk or a region."""
    across = [0, 16, -16, 512, -512, 1024, 7, -40]
    x, z = (rng.choice(across) + rng.randint(-4, 4) for _ in "xz")
    return (x, rng.choice([0, 16, 64, 100, 128, 160]) + rng.randint(-4, 4), z)


def grow(seed: int, recipe: Recipe) -> list[Placement]:
    """Grow the build of a seed from a catalogue; equal seeds give equal builds."""
    rng = random.Random(seed)
    return Growth(rng, recipe, make_wish(rng)).run()
