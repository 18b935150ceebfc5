"""Growing builds: part after part, each where it is likely to touch an earlier one."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

from tests.grown.belts import choose_partner, tie
from tests.grown.clusters import Clusters
from tests.grown.offers import Offer, Reaches
from tests.grown.recipes import Recipe
from tests.grown.variants import Variant, dress, other_cells, other_half, spoil, variants
from tests.judge.entries import understand
from tests.judge.placed import Place, Placement
from tests.judge.vectors import Vector

#: Chance that a new part is placed to couple to an earlier one.
TO_COUPLE = 0.7
DIMENSIONS = ("minecraft:overworld", "minecraft:the_nether", "quayworks:tidal_flats")
#: Data versions of the layouts since 1.13; those before 2844 hold no block below 0 or above 255.
OLDER = (1631, 1976, 2230, 2586, 2730)
TALL = (2975, 3465, 3955, 4790)


@dataclass(frozen=True)
class Wish:
    """What a build is to be like.

    While it has fewer than `gentle` parts, a build takes no part that would close an unbalanced
    loop; while fewer than `agreeing`, none that would set movers against each other. `weights` are
    the chances of each role. Some of its belts lead astray, and where it is `gappy` some
    chunks cannot be looked at.
    """

    size: int
    closing: float
    gentle: float
    agreeing: float
    weights: dict[str, float]
    data_version: int
    astray: float
    gappy: bool

    @property
    def heights(self) -> range:
        return range(-64, 320) if self.data_version in TALL else range(256)


def make_wish(rng: random.Random) -> Wish:
    """Think of a build of up to 200 parts."""
    size = min(200, max(1, round(200 * rng.random() ** 1.5)))
    return Wish(
        size=size,
        closing=rng.choice([0.4, 0.7, 0.95]),
        gentle=size * rng.choice([0, 0.6, 0.9, 1, 1, 1]),
        agreeing=size * rng.choice([0, 0, 0.6, 1, 1]),
        weights={
            "mover": rng.choice([0.03, 0.1, 0.3]),
            "machine": rng.choice([0.1, 0.25, 0.5]),
            "transmission": 1,
        },
        data_version=rng.choice(OLDER + TALL),
        astray=rng.choice([0, 0.05, 0.2]),
        gappy=rng.random() < 0.2,
    )


class Growth:
    """A build while it grows. `build` holds its blocks in the order in which they were placed."""

    def __init__(self, rng: random.Random, recipe: Recipe, wish: Wish) -> None:
        self.rng = rng
        self.recipe = recipe
        self.wish = wish
        self.build: list[Placement] = []
        self.places: list[Place] = []
        self.taken: set[Place] = set()
        self.clusters = Clusters()
        self.variants = variants(recipe)
        self.reaches = Reaches(self.variants)

    def run(self) -> list[Placement]:
        """Grow until the build has its size."""
        origin = self._origin()
        dimensions = self.rng.sample(DIMENSIONS, self.rng.choice([1, 1, 1, 2]))
        for dimension in dimensions:
            self._add(Offer(self._choose(self.variants), (dimension, origin)))
        for _ in range(20 * self.wish.size):
            if len(self.build) >= self.wish.size:
                break
            if self.rng.random() < TO_COUPLE:
                self._couple()
            else:
                self._scatter()
        return self.build

    def _origin(self) -> Vector:
        """Return where a build begins: often near a border of a section, a chunk or a region."""
        across = [0, 16, -16, 512, -512, 1024, 7, -40]
        x, z = (self.rng.choice(across) + self.rng.randint(-4, 4) for _ in "xz")
        y = self.rng.choice([0, 16, 64, 100, 128, 160]) + self.rng.randint(-4, 4)
        return (x, max(y, self.wish.heights[0]), z)

    def _choose(self, among: list[Variant]) -> Variant:
        roles = sorted({variant.part.role for variant in among})
        (role,) = self.rng.choices(roles, [self.wish.weights[role] for role in roles])
        return self.rng.choice([variant for variant in among if variant.part.role == role])

    def _scatter(self) -> None:
        """Put a part somewhere near an earlier one, at the mercy of chance."""
        dimension, (x, y, z) = self.rng.choice(self.build).place
        near = (x + self._jump(), y + self._jump(), z + self._jump())
        self._add(Offer(self._choose(self.variants), (dimension, near)))

    def _jump(self) -> int:
        return self.rng.randint(-3, 3)

    def _couple(self) -> None:
        """Put a part where it couples to an earlier one, and often to a second."""
        if not self.places:
            return
        offers = [offer for offer in (self._offer() for _ in range(6)) if offer is not None]
        if self.rng.random() < self.wish.closing:
            offers.sort(key=lambda pair: -pair[1])
        for offer, _ in offers:
            if self._add(offer):
                return

    def _offer(self) -> tuple[Offer, int] | None:
        """Return a part for a free place where some earlier part reaches, and how many do."""
        places = self.places
        near = self.rng.choice(places[-40:] if self.rng.random() < 0.5 else places)
        part = self.clusters.parts[near]
        reaches = self.reaches.of(self.rng, part)
        if not reaches:
            return None
        reach = self.rng.choice(reaches)
        wanted = self._choose([variant for variant, _ in reach.fitting])
        ways = [chosen for chosen in reach.fitting if chosen[0] is wanted]
        offer = self.reaches.offer(reach, part, self.rng.choice(ways))
        if offer.place in self.taken:
            return None
        closeness = self.clusters.closeness(offer.part)
        return (offer, closeness) if closeness else None

    def _add(self, offer: Offer) -> bool:
        rng = self.rng
        if offer.place in self.taken or offer.place[1][1] not in self.wish.heights:
            return False
        bare = Placement(*offer.place, offer.variant.block, offer.variant.properties)
        placement = dress(rng, self.recipe, bare)
        placement = self._tied(placement, offer)
        if rng.random() < 0.02:
            placement = spoil(rng, placement)
        part = understand([self.recipe.catalogue], placement, self.wish.data_version)
        age = len(self.build)
        if part is not None and not self.clusters.add(
            part, gentle=age < self.wish.gentle, agreeing=age < self.wish.agreeing
        ):
            return False
        if part is not None:
            self.places.append(part.place)
        self._place(placement)
        return True

    def _tied(self, placement: Placement, offer: Offer) -> Placement:
        """Return the block with a partner for its link, where its entry keeps one."""
        entry = self.recipe.catalogue["parts"][placement.block]
        rule = entry.get("link", {}).get("partner")
        if rule is None:
            return placement
        partner = offer.partner
        if partner is None:
            partner = choose_partner(
                self.rng, offer.part, self.clusters.parts, astray=self.wish.astray
            )
        return tie(self.rng, placement, rule, partner, self.wish.data_version)

    def _place(self, placement: Placement) -> None:
        """Put a block down, and in the other cells that it fills often the rest of it."""
        self.build.append(placement)
        self.taken.add(placement.place)
        entry = self.recipe.catalogue["parts"][placement.block]
        for at in other_cells(entry, placement):
            place = (placement.dimension, at)
            if len(self.build) >= self.wish.size:
                return
            if place in self.taken or self.rng.random() < 0.3 or at[1] not in self.wish.heights:
                continue
            self.taken.add(place)
            rest = other_half(entry, replace(placement, at=at))
            if rest is not None:
                self.build.append(rest)


def grow(rng: random.Random, recipe: Recipe, wish: Wish) -> list[Placement]:
    """Grow a build from a catalogue; equal seeds of the generator give equal builds."""
    return Growth(rng, recipe, wish).run()
