"""The builds of a test, each grown and judged once."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache

from analyzer.catalogue.catalogue import Catalogues
from analyzer.catalogue.load import load_catalogue_text
from tests.grown.gaps import choose_gaps, view_of
from tests.grown.grow import grow, make_wish
from tests.grown.recipes import Recipe, make_recipe
from tests.grown.recordings import record_speeds
from tests.judge.placed import Placement
from tests.judge.plain import judge
from tests.judge.verdicts import Verdict
from tests.judge.views import Chunk, View

#: Builds that share a catalogue.
BUILDS_PER_RECIPE = 5


@dataclass(frozen=True)
class Grown:
    """A build with its catalogue, what of it can be looked at, and what the judge says of it."""

    seed: int
    recipe: Recipe
    build: list[Placement]
    gaps: dict[Chunk, str]
    view: View
    verdicts: list[Verdict]

    @property
    def catalogues(self) -> Catalogues:
        return load_catalogue_text(self.recipe.text, f"recipe {self.seed // BUILDS_PER_RECIPE}")


@cache
def grown(seed: int) -> Grown:
    """Grow the build of a seed and have it judged."""
    recipe = _recipe(seed // BUILDS_PER_RECIPE)
    rng = random.Random(seed)
    wish = make_wish(rng)
    build = grow(rng, recipe, wish)
    gaps = choose_gaps(rng, build) if wish.gappy else {}
    view = view_of(build, gaps, wish.data_version)
    verdicts = judge([recipe.catalogue], build, view)
    if any("recorded_rpm" in entry for entry in recipe.catalogue["parts"].values()):
        build = record_speeds(rng, recipe, build, verdicts)
        verdicts = judge([recipe.catalogue], build, view)
    return Grown(seed, recipe, build, gaps, view, verdicts)


@cache
def _recipe(seed: int) -> Recipe:
    return make_recipe(random.Random(seed))
