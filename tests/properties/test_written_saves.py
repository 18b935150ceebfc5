"""What is written into a save is what a scan, a survey and nbtlib find in it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.place import SLOTS, Chunk, slot_of
from analyzer.demo.content import Content, Placement
from analyzer.demo.manner import Compression, Manner
from analyzer.demo.nbt import to_tag
from analyzer.demo.write import write_save
from analyzer.save.files.locate import locate_save
from analyzer.save.scan.scan import RegionCoverage, Scan, SlotStatus, Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.properties.examples import few, holds, new_folder
from tests.properties.nbtlib_reading import blocks_of, entities_of, is_finished, iter_chunks
from tests.properties.plain_look import plain_look, told_by
from tests.properties.strategies_places import chunk_of
from tests.properties.strategies_saves import OLDEST, VERSIONS, World, worlds
from tests.properties.strategies_wanted import wanted_in
from tests.support.check import Check, Evidence, Source, checked

SUBJECT = "Properties: saves"
SCANS = 65
SCANNED = holds(
    SUBJECT,
    "P1",
    "blocks and block entities beside borders of sections, chunks and regions, in every layout, "
    "compression and file, scanned for some of them",
    "what going over the blocks one by one finds: candidates, numbers, bare blocks, leftovers, "
    "the status of every slot",
    SCANS,
)
MANNERS = 5
ALIKE = holds(
    SUBJECT,
    "P4",
    f"a world written in {len(VERSIONS)} data versions, and in four compressions within the region "
    "file and outside",
    "the same scan, but for the data version and the names of folders",
    MANNERS,
)
READINGS = 30
BY_NBTLIB = Check(
    SUBJECT,
    "P5",
    f"{READINGS} such saves, read by nbtlib",
    "the blocks and block entities that were put in, every tag of them",
    Source(Evidence.LIBRARY, "nbtlib 2.0.4, File.parse"),
)


def scanned(world: World, wanted: Wanted) -> Scan:
    with new_folder() as folder:
        write_save(folder, world.dimensions, manner=world.manner)
        return scan_save(locate_save(folder), wanted)


@checked(SCANNED)
@few(SCANS)
@given(worlds(), st.data())
def test_a_scan_finds_what_was_written(world: World, data: st.DataObject) -> None:
    wanted = data.draw(wanted_in(world))
    scan = scanned(world, wanted)
    assert told_by(scan) == plain_look(world, wanted)
    assert scan.dimensions == tuple(sorted(world.dimensions))
    assert scan.coverage.faults == ()
    for region in scan.coverage.regions:
        content = world.dimensions[scan.dimensions[region.dimension]]
        assert region.status == _status(region, content)


def _status(region: RegionCoverage, content: Content) -> bytes:
    status = bytearray(SLOTS)
    written = {chunk_of(placement.at) for placement in content.placements}
    for chunk in written | content.empty:
        if (chunk.cx // 32, chunk.cz // 32) == (region.rx, region.rz):
            finished = chunk not in content.unfinished
            status[slot_of(chunk)] = SlotStatus.READ if finished else SlotStatus.UNFINISHED
    return bytes(status)


@checked(ALIKE)
@few(MANNERS)
@given(worlds(manner=st.just(OLDEST)), st.data())
def test_the_manner_of_writing_changes_nothing_that_is_found(
    world: World, data: st.DataObject
) -> None:
    wanted = data.draw(wanted_in(world))
    found = told_by(scanned(world, wanted))
    manners = [Manner(version, ring_chunks=0) for version in VERSIONS] + [
        Manner(compression=compression, external=external, ring_chunks=0)
        for compression in Compression
        for external in (False, True)
    ]
    for manner in manners:
        assert told_by(scanned(replace(world, manner=manner), wanted)) == found


@checked(BY_NBTLIB)
@few(READINGS)
@given(worlds())
def test_nbtlib_reads_what_was_written(world: World) -> None:
    with new_folder() as folder:
        write_save(folder, world.dimensions, manner=world.manner)
        for name, content in world.dimensions.items():
            regions = folder / Path(world.manner.region_folder(name))
            _check_reading(list(iter_chunks(regions)), content)


def _check_reading(roots: list[Any], content: Content) -> None:
    states = {placement.at: placement.state for placement in content.placements}
    assert {at: state for root in roots for at, state in blocks_of(root).items()} == {
        at: (state.name, state.properties) for at, state in states.items()
    }
    listed = [_stored(entity) for root in roots for entity in entities_of(root)]
    put = [_put(placement) for placement in content.placements if placement.entity is not None]
    assert Counter(map(repr, listed)) == Counter(map(repr, put))
    assert {_chunk(root) for root in roots if not is_finished(root)} == content.unfinished


def _put(placement: Placement) -> list[tuple[str, Any]]:
    assert placement.entity is not None
    place = dict(zip("xyz", placement.at, strict=True))
    return _stored(to_tag({**placement.entity, **place}))


def _stored(entity: Any) -> list[tuple[str, Any]]:
    return sorted((key, tag) for key, tag in entity.items() if key != "keepPacked")


def _chunk(root: Any) -> Chunk:
    level = root.get("Level", root)
    return Chunk(int(level["xPos"]), int(level["zPos"]))
