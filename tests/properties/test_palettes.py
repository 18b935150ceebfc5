"""Sections of 1 to 4096 block states: every block is read back where it was put."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

from hypothesis import example, given
from hypothesis import strategies as st

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.demo.content import Content, Placement
from analyzer.demo.manner import Manner
from analyzer.demo.write import write_regions
from analyzer.save.files.locate import locate_save
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.scan.scan import Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.properties.examples import few, holds, new_folder
from tests.properties.nbtlib_reading import CELLS, blocks_of, iter_chunks
from tests.properties.strategies_places import BORDERS
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Properties: saves"
GRAIN, SACK = "quayworks:grain", "quayworks:sack"
#: Palettes where the width of an index changes, from both sides.
EDGES = (1, 2, 16, 17, 32, 33, 64, 65, 128, 129, 256, 257, 512, 513, 1024, 1025, 2048, 2049, 4096)
#: Most blocks of a section that is not full, besides one of each state.
SPARSE = 200
#: Besides the edges, each by both rules of packing.
EXAMPLES = 8
READ_BACK = holds(
    SUBJECT,
    "P2",
    "a section with a palette of 1 to 4,096 entries, each width of an index from both sides, "
    "packed over the borders of longs and within them",
    "every block where it was put, by the scan's unpacking and by the survey's single look-ups",
    2 * len(EDGES) + EXAMPLES,
)
BY_NBTLIB = Check(
    SUBJECT,
    "P3",
    "the same sections, read by nbtlib and unpacked from one whole number",
    "the same blocks",
    Source(Evidence.LIBRARY, "nbtlib 2.0.4, File.parse"),
)


def section(entries: int, *, full: bool, corner: Block, seed: int) -> tuple[Placement, ...]:
    """Fill a section with so many states; where it is not full, air is one of them."""
    chance = random.Random(seed)
    put = [
        BlockState(GRAIN, (("kind", str(number)),))
        for number in range(entries if full else entries - 1)
    ]
    room = CELLS - len(put)
    put += chance.choices(put, k=room if full else chance.randrange(min(room, SPARSE)))
    cells = chance.sample(range(CELLS), len(put))
    entities = {cell: {"id": SACK} for cell in chance.sample(cells, min(40, len(cells)))}
    return tuple(
        Placement(_block(corner, cell), state, entities.get(cell))
        for cell, state in zip(cells, put, strict=True)
    )


def _block(corner: Block, cell: int) -> Block:
    x, y, z = corner
    return Block(x + cell % 16, y + cell // 256, z + cell // 16 % 16)


def states_by_place(folder: Path) -> dict[Block, BlockState]:
    """Return what a scan for the one name finds."""
    scan = scan_save(locate_save(folder), Wanted({}, blocks=frozenset({GRAIN})))
    table = scan.candidates
    return {
        Block(*at): table.states[state]
        for at, state in zip(table.xyz.tolist(), table.state.tolist(), strict=True)
    }


def with_edges(test: Callable[..., None]) -> Callable[..., None]:
    """Try a test with every edge and both rules of packing before what is drawn."""
    for entries in EDGES:
        for version in (2528, 2529):
            full = entries in (16, 17)
            put = {"entries": entries, "full": full, "seed": entries, "x": -16, "y": 0, "z": 512}
            test = example(version=version, **put)(test)
    return test


@checked(READ_BACK, BY_NBTLIB)
@with_edges
@few(EXAMPLES)
@given(
    version=st.sampled_from([2836, 2528, 2529, 3955]),
    entries=st.sampled_from(EDGES) | st.integers(1, 4096),
    full=st.booleans(),
    seed=st.integers(0, 99),
    x=st.sampled_from(BORDERS),
    y=st.sampled_from([0, 240]),
    z=st.sampled_from(BORDERS),
)
def test_every_block_of_a_section_is_read_back(
    *, version: int, entries: int, full: bool, seed: int, x: int, y: int, z: int
) -> None:
    # Air alone would be no section at all.
    full = full or entries == 1
    placements = section(entries, full=full, corner=Block(x, y, z), seed=seed)
    written = {placement.at: placement.state for placement in placements}
    with new_folder() as folder:
        manner = Manner(version, ring_chunks=0)
        write_regions(folder, Content(placements), manner=manner)
        assert states_by_place(folder) == written
        inventory = take_inventory(locate_save(folder))
        looked_up = {row.at: inventory.states[row.state] for row in inventory.rows}
        assert looked_up == {at: state for at, state in written.items() if at in looked_up}
        assert len(looked_up) == sum(placement.entity is not None for placement in placements)
        plain = {at: state for root in iter_chunks(folder) for at, state in blocks_of(root).items()}
        assert plain == {at: (state.name, state.properties) for at, state in written.items()}
