"""Strategies for what a scan looks for in a world."""

from __future__ import annotations

from hypothesis import strategies as st

from analyzer.base.block import namespace_of
from analyzer.demo.nbt import to_tag
from analyzer.save.scan.scan import Wanted
from tests.properties.strategies_data import KEYS, Steps, iter_paths
from tests.properties.strategies_saves import BLOCKS, ENTITIES, World

#: Paths that may lead nowhere.
ASTRAY = st.lists(KEYS | st.integers(0, 3), min_size=1, max_size=3).map(tuple)


@st.composite
def wanted_in(draw: st.DrawFn, world: World, *, every_byte: bool = True) -> Wanted:
    """Draw what to look for: some ids with paths, some of which lead to what they store.

    Blocks without a block entity are looked for only where every byte is read, since they would
    have it read in any case.
    """
    names = draw(st.sets(st.sampled_from(ENTITIES), max_size=3))
    blocks = draw(st.sets(st.sampled_from(BLOCKS), max_size=2)) if every_byte else set()
    others = draw(st.sets(st.sampled_from(sorted(set(BLOCKS) - blocks)), max_size=2))
    known = draw(st.sets(st.sampled_from(BLOCKS), max_size=3)) | blocks | others
    spaces = draw(st.sets(st.sampled_from(sorted(set(map(namespace_of, BLOCKS)))), max_size=2))
    return Wanted(
        entities={name: draw(_paths(world, name)) for name in sorted(names)},
        blocks=frozenset(blocks),
        every_byte=every_byte,
        entity_blocks=frozenset(others),
        namespaces=frozenset(spaces),
        known_blocks=frozenset(known),
    )


def _paths(world: World, name: str) -> st.SearchStrategy[tuple[Steps, ...]]:
    there = sorted(
        {
            steps
            for content in world.dimensions.values()
            for placement in content.placements
            if placement.entity is not None and placement.entity["id"] == name
            for steps in iter_paths(to_tag(placement.entity))
        },
        key=repr,
    )
    paths = st.sampled_from(there) | ASTRAY if there else ASTRAY
    return st.lists(paths, max_size=4, unique=True).map(tuple)
