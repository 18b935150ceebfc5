"""The scan of whole saves: one result, whoever wrote the save and wherever it is read."""

from __future__ import annotations

import random
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np
import pytest

from analyzer.base.block import parse_block_state
from analyzer.base.errors import UsageError
from analyzer.base.limits import Limits
from analyzer.base.place import Block, Chunk
from analyzer.demo.content import Content, Placement, place
from analyzer.demo.manner import Compression, Manner
from analyzer.demo.write import write_save
from analyzer.save.files.locate import locate_save
from analyzer.save.reading.progress import Progress
from analyzer.save.reading.read_each import CallRaisedError
from analyzer.save.scan import scan_source
from analyzer.save.scan.merge import merge_leftovers
from analyzer.save.scan.merge_tables import merge_tables
from analyzer.save.scan.scan import Scan, SlotStatus, Wanted
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.scan.scan_save import scan_save
from analyzer.save.scan.wanted import WantedTables

WANTED = Wanted(
    MappingProxyType(
        {
            "quayworks:shaft": (("Speed",), ("Loads", 1)),
            "quayworks:capstan": (("Drive", "Speed"), ("Speed",)),
        }
    ),
    entity_blocks=frozenset({"quayworks:bitt", "quayworks:shaft"}),
    namespaces=frozenset({"quayworks"}),
    known_blocks=frozenset({"quayworks:shaft", "quayworks:capstan", "quayworks:bitt"}),
)


def yard(count: int = 60) -> dict[str, Content]:
    """Return blocks over three dimensions, four regions and both sides of zero."""
    chance = random.Random(3)
    placements = []
    for number in range(count):
        kind = ("shaft", "capstan", "bollard")[number % 3]
        at = (chance.randrange(-700, 700), chance.randrange(0, 200), chance.randrange(-700, 700))
        state = f"quayworks:{kind}[axis={'xyz'[number % 3]},tide={number % 20}]"
        stored = {"id": f"quayworks:{kind}", "Speed": number, "Loads": [number, -number]}
        placements.append(place(at, state, stored))
        if number % 6 == 0:
            x, y, z = at
            placements.append(place((x, y + 1, z), "quayworks:bitt"))
    third = len(placements) // 3
    return {
        "minecraft:overworld": Content(tuple(placements[:third])),
        "minecraft:the_nether": Content(tuple(placements[third : 2 * third])),
        "quayworks:tide": Content(tuple(placements[2 * third :])),
    }


def written(folder: Path, manner: Manner = Manner()) -> Path:  # noqa: B008
    write_save(folder, yard(), manner=manner, title="§9Yard")
    return folder


@pytest.fixture(scope="module")
def save(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("yard"))


def told(scan: Scan) -> dict[tuple[str, Block], tuple[str, str, dict[object, int]]]:
    """Return what a scan found, in plain values by place."""
    candidates = scan.candidates
    readings: dict[int, dict[object, int]] = {}
    rows = candidates.readings
    for row, path, integer in zip(
        rows.row.tolist(), rows.path.tolist(), rows.integer.tolist(), strict=True
    ):
        readings.setdefault(row, {})[candidates.paths[path]] = integer
    return {
        (scan.dimensions[dimension], Block(*xyz)): (
            str(candidates.states[state]),
            "" if entity < 0 else candidates.entities[entity],
            readings.get(row, {}),
        )
        for row, (dimension, xyz, state, entity) in enumerate(
            zip(
                candidates.dimension.tolist(),
                candidates.xyz.tolist(),
                candidates.state.tolist(),
                candidates.entity.tolist(),
                strict=True,
            )
        )
    }


def expected() -> dict[tuple[str, Block], tuple[str, str, dict[object, int]]]:
    def one(placement: Placement) -> tuple[str, str, dict[object, int]]:
        assert placement.entity is not None
        name, speed = placement.entity["id"], placement.entity["Speed"]
        readings: dict[object, int] = {("Speed",): speed}
        if name == "quayworks:shaft":
            readings["Loads", 1] = -speed
        return str(placement.state), name, readings

    return {
        (dimension, placement.at): one(placement)
        for dimension, content in yard().items()
        for placement in content.placements
        if placement.state.name not in ("quayworks:bollard", "quayworks:bitt")
    }


def bare(scan: Scan) -> set[tuple[str, Block]]:
    table = scan.bare
    assert {scan.candidates.states[state].name for state in table.state} <= {"quayworks:bitt"}
    places = zip(table.dimension.tolist(), table.xyz.tolist(), strict=True)
    return {(scan.dimensions[dimension], Block(*xyz)) for dimension, xyz in places}


MANNERS = [
    *(Manner(version) for version in (1519, 1631, 2230, 2586, 2730, 2840, 2975, 3955, 4790)),
    *(Manner(3955, kind) for kind in Compression),
    Manner(2586, Compression.LZ4, external=True),
    Manner(4790, Compression.GZIP, external=True),
]


@pytest.mark.parametrize("manner", MANNERS, ids=str)
@pytest.mark.parametrize("every_byte", [False, True])
def test_what_was_written_is_found_in_every_manner_of_writing(
    tmp_path: Path, manner: Manner, every_byte: bool
) -> None:
    wanted = replace(WANTED, every_byte=every_byte)
    scan = scan_save(locate_save(written(tmp_path, manner)), wanted)
    assert told(scan) == expected()
    assert bare(scan) == {
        (dimension, placement.at)
        for dimension, content in yard().items()
        for placement in content.placements
        if placement.state.name == "quayworks:bitt"
    }
    assert scan.dimensions == ("minecraft:overworld", "minecraft:the_nether", "quayworks:tide")
    assert scan.leftovers.unknown == (("quayworks:bollard", 20),)
    assert scan.coverage.faults == ()
    assert scan.facts.title == "Yard"
    assert scan.facts.data_versions == (manner.data_version,)
    assert set(scan.candidates.data_version.tolist()) == {manner.data_version}
    counts = scan.coverage.counts()
    assert counts[SlotStatus.READ] > 0
    # The writer puts the version behind the content, so older layouts must be read whole.
    assert (counts[SlotStatus.SIFTED] > 0) == (manner.has_root_layout and not every_byte)


def test_candidates_are_sorted_and_frozen(save: Path) -> None:
    scan = scan_save(locate_save(save), WANTED)
    candidates = scan.candidates
    for table in (candidates, scan.bare):
        keys = np.column_stack([table.dimension, table.xyz]).tolist()
        assert keys == sorted(keys)
    assert len(scan.bare) == 10
    assert (scan.bare.dimension.dtype, scan.bare.xyz.dtype) == (np.int16, np.int32)
    assert len(candidates) == 40
    assert list(scan.candidates.states) == sorted(scan.candidates.states)
    assert scan.candidates.entities == ("quayworks:capstan", "quayworks:shaft")
    assert list(scan.candidates.readings.row) == sorted(scan.candidates.readings.row)
    places = [(r.dimension, r.rx, r.rz) for r in scan.coverage.regions]
    assert places == sorted(places)
    for column in (scan.candidates.xyz, scan.bare.xyz, scan.bare.state):
        with pytest.raises(ValueError, match="read-only"):
            column[0] = 0


def same(one: Scan, other: Scan) -> bool:
    """Compare every array and value of two scans."""
    for name in ("dimension", "xyz", "state", "entity", "data_version"):
        assert np.array_equal(getattr(one.candidates, name), getattr(other.candidates, name))
    for name in ("row", "path", "tag", "integer", "real"):
        mine, its = (getattr(s.candidates.readings, name) for s in (one, other))
        assert np.array_equal(mine, its)
        assert mine.dtype == its.dtype
    for name in ("states", "entities", "paths"):
        assert getattr(one.candidates, name) == getattr(other.candidates, name)
    for name in ("dimension", "xyz", "state"):
        assert np.array_equal(getattr(one.bare, name), getattr(other.bare, name))
    assert one.strangers == other.strangers
    assert one.coverage.regions == other.coverage.regions
    assert one.coverage.faults == other.coverage.faults
    return (one.dimensions, one.leftovers, one.facts) == (
        other.dimensions,
        other.leftovers,
        other.facts,
    )


@pytest.fixture(params=["threads", "processes"])
def executor(request: pytest.FixtureRequest) -> Iterator[Executor]:
    if request.param == "threads":
        with ThreadPoolExecutor(max_workers=2) as threads:
            yield threads
    else:
        with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as processes:
            yield processes


def test_an_executor_makes_no_difference(save: Path, executor: Executor) -> None:
    files = locate_save(save)
    assert same(scan_save(files, WANTED), scan_save(files, WANTED, executor=executor))


def test_the_order_of_the_records_makes_no_difference(save: Path) -> None:
    files = locate_save(save)
    tables = WantedTables(WANTED)
    records = [scan_region(region, WANTED, Limits()) for region in files.regions]
    straight = scan_save(files, WANTED)
    for seed in range(5):
        random.Random(seed).shuffle(records)
        merged, bare = merge_tables(records, dimensions=files.dimensions, tables=tables)
        assert merged.states == straight.candidates.states
        assert np.array_equal(merged.xyz, straight.candidates.xyz)
        assert np.array_equal(merged.state, straight.candidates.state)
        assert np.array_equal(merged.readings.integer, straight.candidates.readings.integer)
        assert np.array_equal(merged.readings.row, straight.candidates.readings.row)
        assert np.array_equal(bare.xyz, straight.bare.xyz)
        assert np.array_equal(bare.state, straight.bare.state)
        assert merge_leftovers(records) == straight.leftovers


def test_the_order_in_which_things_are_wanted_makes_no_difference(save: Path) -> None:
    turned = {name: paths[::-1] for name, paths in reversed(WANTED.entities.items())}
    files = locate_save(save)
    assert same(scan_save(files, WANTED), scan_save(files, replace(WANTED, entities=turned)))


def test_progress_is_told_from_nothing_to_all(save: Path) -> None:
    heard: list[Progress] = []
    files = locate_save(save)
    scan = scan_save(files, WANTED, progress=heard.append)
    total = len(files.regions)
    assert [step.regions_done for step in heard] == list(range(total + 1))
    assert {step.regions for step in heard} == {total}
    absent = scan.coverage.counts()[SlotStatus.ABSENT]
    assert heard[-1].chunks_done == 1024 * total - absent


class Window(Executor):
    """Runs a call only once nobody has submitted for a while, the last one first."""

    def __init__(self) -> None:
        self.most = 0
        self._pending: list[tuple[Future[Any], Callable[..., Any], tuple[Any, ...]]] = []
        self._changed = threading.Condition()
        self._open = True
        self._thread = threading.Thread(target=self._run)
        self._thread.start()

    def submit(self, call: Any, /, *arguments: Any, **keywords: Any) -> Future[Any]:
        future: Future[Any] = Future()
        with self._changed:
            self._pending.append((future, partial(call, **keywords), arguments))
            self.most = max(self.most, len(self._pending))
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        self._open = False
        self._thread.join()

    def _run(self) -> None:
        while self._open:
            with self._changed:
                before = len(self._pending)
                self._changed.wait(0.01)
                if before == 0 or len(self._pending) != before:
                    continue
                future, call, arguments = self._pending.pop()
            future.set_result(call(*arguments))


def test_few_calls_are_in_flight_and_may_end_in_any_order(
    save: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 1)
    files = locate_save(save)
    assert len(files.regions) > 16
    with Window() as window:
        assert same(scan_save(files, WANTED), scan_save(files, WANTED, executor=window))
        assert window.most == 16


def test_dimensions_are_chosen_by_name(save: Path) -> None:
    scan = scan_save(locate_save(save), WANTED, dimensions=("quayworks:tide",))
    assert scan.dimensions == ("quayworks:tide",)
    assert {place[0] for place in told(scan)} == {"quayworks:tide"}
    assert all(region.dimension == 0 for region in scan.coverage.regions)
    with pytest.raises(UsageError, match="no dimension quayworks:reef"):
        scan_save(locate_save(save), WANTED, dimensions=("quayworks:reef",))


def test_blocks_without_entities_are_found_in_a_whole_save(tmp_path: Path) -> None:
    keel = parse_block_state("quayworks:keel[axis=z]")
    at = [Block(-1, 0, -513), Block(0, 319, 0), Block(511, 64, 512)]
    content = Content(tuple(Placement(block, keel) for block in at))
    write_save(tmp_path, {"minecraft:overworld": content})
    wanted = Wanted({}, frozenset({"quayworks:keel"}))
    scan = scan_save(locate_save(tmp_path), wanted)
    assert told(scan) == {
        ("minecraft:overworld", block): ("quayworks:keel[axis=z]", "", {}) for block in at
    }


def test_unfinished_and_broken_chunks_of_a_save_are_counted(tmp_path: Path) -> None:
    shaft = place((5, 70, 5), "quayworks:shaft", {"id": "quayworks:shaft"})
    content = Content(
        (shaft, place((40, 70, 5), "quayworks:shaft", {"id": "quayworks:shaft"})),
        unfinished=frozenset({Chunk(2, 0)}),
        broken={Chunk(9, 9): b"\x00\x00\x00\x05\x02junk"},
    )
    write_save(tmp_path, {"minecraft:overworld": content})
    scan = scan_save(locate_save(tmp_path), WANTED)
    assert list(told(scan)) == [("minecraft:overworld", Block(5, 70, 5))]
    assert scan.leftovers.unfinished == 1
    (fault,) = scan.coverage.faults
    assert (fault.chunk, fault.reason) == (Chunk(9, 9), "bad-zlib-stream")
    assert fault.file == "region/r.0.0.mca"


def test_a_call_that_fails_ends_the_scan_and_what_waits(
    save: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a fault of the program")

    monkeypatch.setattr(scan_source, "scan_source", fail)
    with ThreadPoolExecutor(1) as pool, pytest.raises(CallRaisedError, match="fault of the prog"):
        scan_save(locate_save(save), WANTED, executor=pool)
