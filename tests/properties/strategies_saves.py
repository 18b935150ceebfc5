"""Strategies for saves: blocks, what they store, and the manners of writing them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hypothesis import strategies as st

from analyzer.base.block import BlockState
from analyzer.base.place import Block, Chunk
from analyzer.demo.content import Content, Placement
from analyzer.demo.manner import Compression, Manner
from tests.properties.strategies_data import DATA
from tests.properties.strategies_places import blocks, chunk_of

DIMENSIONS = ("minecraft:overworld", "minecraft:the_nether", "quayworks:tidal_flats")
BLOCKS = (
    "quayworks:shaft",
    "quayworks:oak",
    "quayworks:pier/木",
    "ropewalk:post",
    "minecraft:dirt",
)
ENTITIES = ("quayworks:shaft", "quayworks:wheel", "ropewalk:reel", "Chest", "minecraft:barrel")

#: Data versions on both sides of each change of the layout, and the newest known one.
VERSIONS = (
    *(1451, 1911, 1912, 2528, 2529, 2835, 2836, 2843, 2844),
    *(3464, 3465, 3955, 4773, 4774, 4903),
)
#: Its worlds are of the heights that all others have too.
OLDEST = Manner(VERSIONS[0], ring_chunks=0)
#: Manners of writing; no chunks but those that are asked for.
MANNERS = st.builds(
    Manner,
    st.sampled_from(VERSIONS),
    st.sampled_from(Compression),
    st.booleans(),
    ring_chunks=st.just(0),
)


STATES = st.sampled_from(
    [
        BlockState(name, properties)
        for name in BLOCKS
        for properties in (
            (),
            (("axis", "x"),),
            (("axis", "x"), ("lit", "true")),
            (("pegs", "12"),),
        )
    ]
)
#: A block entity, or none. No drawn key is that of an id or a place.
ENTITY_DATA = st.none() | st.builds(
    lambda name, data: {"id": name, **data}, st.sampled_from(ENTITIES), DATA
)


@dataclass(frozen=True)
class World:
    """What is written: the contents of each dimension, and in what manner."""

    manner: Manner
    dimensions: Mapping[str, Content]


@st.composite
def worlds(
    draw: st.DrawFn,
    *,
    manner: st.SearchStrategy[Manner] = MANNERS,
    twice: bool = True,
) -> World:
    """Draw worlds of a few blocks in one to three dimensions, some of them half-made.

    With `twice` two blocks may be placed at one position.
    """
    chosen = draw(manner)
    names = draw(st.lists(st.sampled_from(DIMENSIONS), min_size=1, max_size=3, unique=True))
    contents = {name: draw(_contents(chosen.sections, twice=twice)) for name in names}
    return World(chosen, MappingProxyType(contents))


@st.composite
def _contents(draw: st.DrawFn, sections: range, *, twice: bool) -> Content:
    places = draw(st.lists(blocks(sections), min_size=1, max_size=4, unique=True))
    # Neighbours across the nearest borders share chunks, sections and palettes.
    for by in draw(st.lists(st.sampled_from([0, 1, -1]), max_size=4)):
        x, y, z = draw(st.sampled_from(places))
        places.append(Block(x + by, y, z - by))
    if not twice:
        places = list(dict.fromkeys(places))
    placements = tuple(Placement(place, draw(STATES), draw(ENTITY_DATA)) for place in places)
    chunks = sorted({chunk_of(place) for place in places})
    unfinished = draw(st.sets(st.sampled_from(chunks), max_size=1)) if len(chunks) > 1 else ()
    empty = draw(st.sets(st.builds(Chunk, st.integers(-1, 0), st.integers(31, 32)), max_size=1))
    return Content(placements, empty=frozenset(empty), unfinished=frozenset(unfinished))
