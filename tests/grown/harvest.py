"""The builds of a test, each grown and judged once."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache

from analyzer.catalogue.catalogue import Catalogues
from analyzer.catalogue.load import load_catalogue_text
from tests.grown.grow import grow
from tests.grown.recipes import Recipe, make_recipe
from tests.judge.entries import Placement
from tests.judge.plain import Verdict, judge

#: Builds that share a catalogue.
BUILDS_PER_RECIPE = 5
#: Data versions of the layouts since 1.13; those before 2844 hold no block below 0 or above 255.
OLDER = (1631, 1976, 2230, 2586, 2730)
TALL = (2975, 3465, 3955, 4790)


@dataclass(frozen=True)
class Grown:
    """A build with its catalogue and what the judge says of it."""

    seed: int
    recipe: Recipe
    build: list[Placement]
    verdicts: list[Verdict]

    @property
    def catalogues(self) -> Catalogues:
        return load_catalogue_text(self.recipe.text, f"recipe {self.seed // BUILDS_PER_RECIPE}")

    @property
    def data_version(self) -> int:
        heights = [placement.at[1] for placement in self.build]
        fits = min(heights) >= 0 and max(heights) < 256
        return random.Random(self.seed).choice(OLDER + TALL if fits else TALL)


@cache
def grown(seed: int) -> Grown:
    """Grow the build of a seed and have it judged."""
    recipe = _recipe(seed // BUILDS_PER_RECIPE)
    build = grow(seed, recipe)
    return Grown(seed, recipe, build, judge([recipe.catalogue], build))


@cache
def _recipe(seed: int) -> Recipe:
    return make_recipe(random.Random(seed))
