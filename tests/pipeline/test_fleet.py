"""Many saves in one go give what each gives alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analyzer.base.errors import CatalogueError, SaveNotOpenedError, UsageError
from analyzer.base.policy import Policy
from analyzer.pipeline import fleet, workers
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.cache import Cache
from analyzer.pipeline.fleet import audit_fleet
from analyzer.pipeline.fleet_names import distinct_names
from analyzer.pipeline.fleet_save import FleetOrder
from analyzer.pipeline.processes import Processes
from analyzer.save.reading.progress import Progress
from tests.support.demo import demo_save
from tests.support.kept import LINE, Bench, everything
from tests.support.saves import save_of
from tests.support.sketch import sketch

QUAYWORKS = ("quayworks",)


@pytest.fixture
def saves(tmp_path: Path) -> list[Path]:
    """Return a save of three regions, one of one, one without any, and the demo's."""
    lines = Bench.lines(LINE, LINE, LINE)
    empty = tmp_path / "empty"
    empty.mkdir()
    (empty / "region").mkdir()
    return [
        save_of(tmp_path / "three", lines),
        save_of(tmp_path / "one", sketch(LINE, at=(40, 64, 40))),
        empty,
        demo_save(),
    ]


def orders(saves: list[Path]) -> list[FleetOrder]:
    return [FleetOrder(save, QUAYWORKS) for save in saves]


def reports(saves: list[Path], **given: Any) -> list[str]:
    results = audit_fleet(orders(saves), **given)
    return [everything(one.audit) for one in results if one.audit is not None]


@pytest.fixture
def alone(saves: list[Path]) -> list[str]:
    """Return everything said of each save by itself."""
    return [everything(audit_save(save, catalogues=QUAYWORKS)) for save in saves]


def test_no_save_gives_nothing() -> None:
    assert list(audit_fleet([])) == []


@pytest.mark.parametrize("jobs", [1, 2, 3])
def test_each_save_is_told_of_as_if_it_were_alone(
    saves: list[Path], alone: list[str], jobs: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "FEW_REGIONS", 0)
    monkeypatch.setattr(fleet, "FEW_REGIONS", 0)
    assert reports(saves, jobs=jobs) == alone
    assert reports(saves[::-1], jobs=jobs) == alone[::-1]


class Counting(ThreadPoolExecutor):
    """An executor that answers late, and knows what it was given before it did."""

    def __init__(self) -> None:
        super().__init__(1)
        self.given: list[str] = []

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        self.given.append(str(args[0].path))
        return super().submit(fn, *args, **kwargs)


def test_all_saves_are_read_on_one_executor_without_a_pause_between_them(
    saves: list[Path], alone: list[str]
) -> None:
    with Counting() as pool:
        results = audit_fleet(orders(saves), executor=pool)
        first = next(results)
        assert any(str(saves[-1]) in path for path in pool.given)
        rest = list(results)
    assert [everything(one.audit) for one in [first, *rest] if one.audit] == alone
    assert len(pool.given) == len(set(pool.given))


def test_processes_start_once_for_many_saves_of_one_region(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started = []

    class Noted(Processes):
        def __init__(self, count: int, modules: Any = ()) -> None:
            started.append(count)
            super().__init__(count, modules)

    monkeypatch.setattr("analyzer.pipeline.processes.Processes", Noted)
    small = [
        save_of(tmp_path / str(number), sketch(LINE, at=(40, 64, 40)))
        for number in range(workers.FEW_REGIONS + 1)
    ]
    assert len(set(reports(small[:-1], jobs=2))) == 1
    assert started == []
    assert len(set(reports(small, jobs=2))) == 1
    assert started == [2]


def test_a_save_that_is_not_one_stops_no_other(
    saves: list[Path], alone: list[str], tmp_path: Path
) -> None:
    given = [tmp_path / "mill", saves[0], tmp_path, saves[3]]
    results = list(audit_fleet(orders(given)))
    assert [isinstance(one.error, SaveNotOpenedError) for one in results] == [True, False] * 2
    assert [one.name for one in results][0::2] == ["mill", tmp_path.name]
    assert [everything(one.audit) for one in results if one.audit] == [alone[0], alone[3]]


def test_a_save_without_the_dimension_asked_for_stops_no_other(saves: list[Path]) -> None:
    given = orders([saves[1], saves[3]])
    one, other = audit_fleet(given, dimensions=["quayworks:undercroft"])
    assert isinstance(one.error, UsageError)
    assert other.audit is not None
    assert other.audit.scan.dimensions == ("quayworks:undercroft",)


def test_what_holds_for_a_save_holds_for_that_alone(saves: list[Path]) -> None:
    off = Policy(off=frozenset({"overload"}))
    one, other, bare = audit_fleet(
        [
            FleetOrder(saves[3], QUAYWORKS, off),
            FleetOrder(saves[3], QUAYWORKS),
            FleetOrder(saves[3]),
        ]
    )
    rules = [
        {f.rule for f in each.audit.findings.items} for each in (one, other, bare) if each.audit
    ]
    assert rules[1] - rules[0] == {"overload"}
    assert bare.audit is not None
    assert len(bare.audit.parts) == 0


def test_a_bad_catalogue_is_told_before_anything_is_read(saves: list[Path]) -> None:
    told: list[Progress] = []
    with pytest.raises(CatalogueError):
        audit_fleet(
            [FleetOrder(saves[0], QUAYWORKS), FleetOrder(saves[1], ["no-such-catalogue"])],
            progress=told.append,
        )
    assert told == []


def test_progress_counts_the_regions_of_all_saves(saves: list[Path]) -> None:
    told: list[Progress] = []
    assert len(reports(saves, progress=told.append)) == 4
    done = [one.regions_done for one in told]
    assert done == sorted(done)
    assert {one.regions for one in told} == {done[-1]}
    assert done[-1] == 3 + 1 + 0 + 7


@pytest.fixture
def cache(tmp_path: Path) -> Cache:
    """Return a cache by whose clock every file is old enough."""
    return Cache(tmp_path / "kept", [].append, clock_ns=lambda: 2**62)


def test_what_is_known_of_the_saves_is_not_read_again(
    saves: list[Path], alone: list[str], cache: Cache
) -> None:
    assert reports(saves, cache=cache) == alone
    with Counting() as pool:
        assert reports(saves, cache=cache, executor=pool) == alone
        assert pool.given == []
        region = next((saves[1] / "region").iterdir())
        region.write_bytes(region.read_bytes() + bytes(4096))
        assert len(reports(saves, cache=cache)) == 4
    assert audit_save(saves[0], catalogues=QUAYWORKS, cache=cache) is not None


def test_a_cache_in_one_of_the_saves_is_refused_before_anything_is_read(
    saves: list[Path],
) -> None:
    cache = Cache(saves[3] / "kept", [].append)
    with pytest.raises(UsageError, match="lies inside the save"):
        audit_fleet(orders(saves), cache=cache)


def test_a_fleet_that_is_left_ends_its_processes(
    saves: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    pools: list[Processes] = []
    monkeypatch.setattr(fleet, "FEW_REGIONS", 0)
    monkeypatch.setattr(workers, "FEW_REGIONS", 0)
    begin = Processes.__init__

    def noted(self: Processes, *given: Any) -> None:
        pools.append(self)
        begin(self, *given)

    monkeypatch.setattr(Processes, "__init__", noted)
    results: Iterator[Any] = audit_fleet(orders(saves), jobs=2)
    next(results)
    results.close()  # type: ignore[attr-defined]
    (pool,) = pools
    with pytest.raises(RuntimeError, match="shut down"):
        pool.submit(abs, 1)


words = st.sampled_from(["a", "b", "a (2)", "a (b)", "b (2)"])


@given(st.lists(st.tuples(words, words)))
def test_no_two_names_are_the_same(saves: list[tuple[str, str]]) -> None:
    names = distinct_names(saves)
    assert len(set(names)) == len(names) == len(saves)
    assert all(name.startswith(title) for name, (title, _) in zip(names, saves, strict=True))


def test_the_program_in_the_docs_runs(
    saves: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    page = (Path(__file__).parents[2] / "docs" / "fleet.md").read_text("utf-8")
    (program,) = re.findall(r"^```python\n(.*?)^```", page, re.M | re.S)
    (tmp_path / "worlds").mkdir()
    saves[0].rename(tmp_path / "worlds" / "mill")
    (tmp_path / "worlds" / "notes.txt").touch()
    monkeypatch.chdir(tmp_path)
    exec(program, {})
    first, second = capsys.readouterr().out.splitlines()
    assert first == "written by lineshaft 0"
    assert second.startswith("notes.txt worlds/notes.txt: this is not a folder")
