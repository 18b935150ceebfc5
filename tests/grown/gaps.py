"""Chunks of a build that nobody could look at."""

from __future__ import annotations

import random

from tests.judge.placed import Placement
from tests.judge.views import Chunk, View, chunk_of

#: How a chunk can be missing: never written, not readable, left half-way by the generator.
WAYS = ("absent", "broken", "unfinished")
#: How many chunks round each chunk with blocks are written.
RING = 1


def ground(build: list[Placement]) -> set[Chunk]:
    """Return the chunks that are written for a build: those with blocks, and those round them."""
    reach = range(-RING, RING + 1)
    return {
        (dimension, cx + dx, cz + dz)
        for dimension, cx, cz in {chunk_of(block.dimension, block.at) for block in build}
        for dx in reach
        for dz in reach
    }


def choose_gaps(rng: random.Random, build: list[Placement]) -> dict[Chunk, str]:
    """Return up to two chunks beside blocks, or with blocks, and what is wrong with each."""
    gaps = {}
    for placement in rng.sample(build, min(2, len(build))):
        dimension, cx, cz = chunk_of(placement.dimension, placement.at)
        x, z = placement.at[0] % 16, placement.at[2] % 16
        beside = {(0, 0)}
        beside |= {(step, 0) for step, rim in ((-1, 0), (1, 15)) if x == rim}
        beside |= {(0, step) for step, rim in ((-1, 0), (1, 15)) if z == rim}
        dx, dz = rng.choice(sorted(beside)[:: rng.choice([-1, 1])])
        if (dx, dz) != (0, 0) or rng.random() < 0.3:
            chunk = (dimension, cx + dx, cz + dz)
            gaps[chunk] = rng.choice(WAYS if _holds_entity(chunk, build) else WAYS[:2])
    return gaps


def _holds_entity(chunk: Chunk, build: list[Placement]) -> bool:
    """Return whether a chunk holds any block entity.

    Without one nobody need look how far the world's generator had got.
    """
    return any(
        block.data is not None and chunk_of(block.dimension, block.at) == chunk for block in build
    )


def view_of(build: list[Placement], gaps: dict[Chunk, str], data_version: int) -> View:
    """Return what can be looked at of a build with gaps."""
    return View(frozenset(ground(build) - gaps.keys()), data_version)
