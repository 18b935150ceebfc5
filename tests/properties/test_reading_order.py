"""What is found depends neither on the order in a save's files nor on who reads them when."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.demo.write import write_save
from analyzer.save.files.locate import locate_save
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.inventory.survey import take_inventory
from analyzer.save.scan.scan import Wanted
from analyzer.save.scan.scan_save import scan_save
from tests.properties.examples import few, holds, new_folder
from tests.properties.rewriting import rearrange
from tests.properties.sameness import as_plain
from tests.properties.strategies_saves import World, worlds
from tests.properties.strategies_wanted import wanted_in
from tests.support.check import checked

SUBJECT = "Properties: saves"
EXAMPLES = 25
ORDER = holds(
    SUBJECT,
    "P9",
    "blocks placed, chunks laid out in their files with rubbish between, files and dimensions "
    "written, and regions read, each in any order",
    "the same scan and the same inventory",
    EXAMPLES,
)
ON_WORKERS = 15
WORKERS = holds(
    SUBJECT,
    "P10",
    "regions read one after the other, on 1, 2 and 4 threads, and on 2 processes",
    "the same scan and the same inventory",
    ON_WORKERS,
)


@pytest.fixture(scope="module")
def executors() -> Iterator[list[Executor]]:
    with ExitStack() as stack:
        pools: list[Executor] = [ThreadPoolExecutor(number) for number in (1, 2, 4)]
        pools.append(ProcessPoolExecutor(2, mp_context=get_context("spawn")))
        for pool in pools:
            stack.enter_context(pool)
        yield pools


def everything(files: SaveFiles, wanted: Wanted, executor: Executor | None = None) -> Any:
    """Return all that a scan and a survey tell."""
    scan = scan_save(files, wanted, executor=executor)
    return as_plain((scan, take_inventory(files, executor=executor)))


@checked(ORDER)
@few(EXAMPLES)
@given(worlds(twice=False), st.data(), st.integers(0, 99))
def test_no_order_in_the_files_or_of_reading_shows(
    world: World, data: st.DataObject, seed: int
) -> None:
    wanted = data.draw(wanted_in(world, every_byte=data.draw(st.booleans())))
    chance = random.Random(seed)
    with new_folder() as folder:
        write_save(folder / "plain", world.dimensions, manner=world.manner)
        found = everything(locate_save(folder / "plain"), wanted)
        write_save(folder / "other", _reordered(world, chance).dimensions, manner=world.manner)
        for path in sorted((folder / "other").rglob("r.*.mca")):
            rearrange(path, chance)
        assert everything(locate_save(folder / "other"), wanted) == found
        _copy_in_any_order(folder / "other", folder / "copy", chance)
        files = locate_save(folder / "copy")
        assert everything(files, wanted) == found
        regions = tuple(chance.sample(files.regions, len(files.regions)))
        assert everything(replace(files, regions=regions), wanted) == found


def _reordered(world: World, chance: random.Random) -> World:
    names = chance.sample(sorted(world.dimensions), len(world.dimensions))
    contents = {
        name: replace(
            world.dimensions[name],
            placements=tuple(
                chance.sample(
                    world.dimensions[name].placements, len(world.dimensions[name].placements)
                )
            ),
        )
        for name in names
    }
    return replace(world, dimensions=contents)


def _copy_in_any_order(source: Path, target: Path, chance: random.Random) -> None:
    paths = sorted(path for path in source.rglob("*") if path.is_file())
    for path in chance.sample(paths, len(paths)):
        there = target / path.relative_to(source)
        there.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, there)


@checked(WORKERS)
@few(ON_WORKERS)
@given(world=worlds(), data=st.data())
def test_who_reads_the_regions_does_not_show(
    executors: list[Executor], world: World, data: st.DataObject
) -> None:
    wanted = data.draw(wanted_in(world, every_byte=data.draw(st.booleans())))
    with new_folder() as folder:
        write_save(folder, world.dimensions, manner=world.manner)
        files = locate_save(folder)
        alone = everything(files, wanted)
        for executor in executors:
            assert everything(files, wanted, executor) == alone
