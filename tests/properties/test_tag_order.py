"""Where a list stands among a chunk's tags, and what else stands there, changes nothing."""

from __future__ import annotations

import random
from functools import partial

from hypothesis import given
from hypothesis import strategies as st

from analyzer.demo.write import write_save
from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.properties.examples import few, holds, new_folder
from tests.properties.plain_look import Look, plain_look, told_by
from tests.properties.rewriting import shuffled, with_list_at, with_trees
from tests.properties.strategies_saves import World, worlds
from tests.properties.strategies_wanted import wanted_in
from tests.support.check import checked

SUBJECT = "Properties: saves"
EXAMPLES = 30
ORDERED = holds(
    SUBJECT,
    "P7",
    "chunks whose list of block entities stands first, last, or behind up to 100,000 bytes with "
    "a decoy among them; tags of every compound in any order",
    "the same as in the usual order",
    EXAMPLES,
)
SIFTED = holds(
    SUBJECT,
    "P8",
    "the same chunks, inflated no further than shows that nothing wanted is in them",
    "the same candidates and counts as reading every byte",
    EXAMPLES,
)
FILLERS = st.sampled_from([0, 200, 1000, 20_000, 100_000])


@checked(ORDERED)
@few(EXAMPLES)
@given(worlds(), st.data(), st.booleans(), FILLERS)
def test_a_list_of_block_entities_is_found_wherever_it_stands(
    world: World, data: st.DataObject, first: bool, filler_bytes: int
) -> None:
    wanted = data.draw(wanted_in(world))
    moved = with_trees(world, partial(with_list_at, first=first, filler_bytes=filler_bytes))
    assert _look(moved, wanted) == plain_look(world, wanted)


@checked(ORDERED)
@few(EXAMPLES)
@given(worlds(), st.data(), st.integers(0, 99))
def test_tags_may_stand_in_any_order(world: World, data: st.DataObject, seed: int) -> None:
    wanted = data.draw(wanted_in(world))
    moved = with_trees(world, partial(shuffled, chance=random.Random(seed)))
    assert _look(moved, wanted) == plain_look(world, wanted)


@checked(SIFTED)
@few(EXAMPLES)
@given(worlds(), st.data(), st.booleans(), FILLERS)
def test_sifting_finds_the_same_as_reading_every_byte(
    world: World, data: st.DataObject, first: bool, filler_bytes: int
) -> None:
    wanted = data.draw(wanted_in(world, every_byte=False))
    moved = with_trees(world, partial(with_list_at, first=first, filler_bytes=filler_bytes))
    sifted, whole = _look(moved, wanted), plain_look(world, wanted)
    assert sifted.candidates == whole.candidates
    assert (sifted.unknown, sifted.duplicate) == (whole.unknown, whole.duplicate)
    assert sifted.unfinished == whole.unfinished


def _look(world: World, wanted: Wanted) -> Look:
    with new_folder() as folder:
        write_save(folder, world.dimensions, manner=world.manner)
        scan = scan_save(locate_save(folder), wanted)
    assert scan.coverage.faults == ()
    if wanted.every_byte:
        assert scan.coverage.counts()[SlotStatus.SIFTED] == 0
    return told_by(scan)
