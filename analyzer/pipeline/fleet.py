"""The audit of many saves: their region files are read in one go, and each save is judged alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from contextlib import ExitStack, closing
from dataclasses import dataclass
from datetime import date
from importlib import import_module
from itertools import chain, islice
from typing import TYPE_CHECKING

from analyzer.base.errors import SaveNotOpenedError, UsageError
from analyzer.base.limits import Limits
from analyzer.pipeline.fleet_names import distinct_names
from analyzer.pipeline.fleet_save import Asking, FleetOrder, FleetSave
from analyzer.pipeline.looked_for import loaded
from analyzer.pipeline.workers import FEW_REGIONS, workers_for
from analyzer.save.reading.call import Call
from analyzer.save.reading.progress import OnProgress, Progress
from analyzer.save.reading.read_each import iter_read
from analyzer.save.scan.record import ScanRecord

if TYPE_CHECKING:
    from analyzer.catalogue.catalogue import Catalogues
    from analyzer.findings.audit import Audit
    from analyzer.pipeline.cache import Cache
    from analyzer.pipeline.request import Box


@dataclass(frozen=True)
class FleetResult:
    """What became of one save of a fleet.

    Parameters
    ----------
    name
        The save's title, or the name of its folder where it could not be opened; with what tells
        it from others of the fleet that have the same.
    audit
        Its audit; None where it could not be opened.
    error
        Why it could not be opened, or has none of the dimensions asked for; else None.
    """

    name: str
    audit: Audit | None
    error: SaveNotOpenedError | UsageError | None


def audit_fleet(
    orders: Sequence[FleetOrder],
    *,
    today: date | None = None,
    dimensions: Sequence[str] = (),
    box: Box | None = None,
    every_byte: bool = False,
    limits: Limits = Limits(),  # noqa: B008 (frozen)
    executor: Executor | None = None,
    jobs: int | None = None,
    progress: OnProgress | None = None,
    cache: Cache | None = None,
    follow_links: bool = False,
) -> Iterator[FleetResult]:
    """Audit some saves, with all their region files on the same processes.

    While one save is solved and judged, files of those after it are read. None of the audits is
    held longer than the caller holds it.

    Parameters
    ----------
    orders
        The saves; none gives nothing.
    today, dimensions, box, every_byte, limits, executor, jobs, progress, cache, follow_links
        As for `audit_save`, of every save.

    Returns
    -------
    Iterator[FleetResult]
        In the order of the saves; they are read as it is gone through.

    Raises
    ------
    CatalogueError
        Where a catalogue cannot be used, before anything is read.
    UsageError
        Where the cache's folder cannot be used with one of the saves, likewise.
    """
    asking = Asking(today, tuple(dimensions), box, every_byte, limits, cache, follow_links)
    known: dict[tuple[str, ...], Catalogues] = {}
    saves = [FleetSave(one, asking, _loaded_once(one.catalogues, known)) for one in orders]
    for save in saves:
        save.check()
    return _Reading(saves, progress).iter_results(executor, jobs)


def _loaded_once(
    catalogues: Catalogues | Sequence[str], known: dict[tuple[str, ...], Catalogues]
) -> Catalogues:
    if not isinstance(catalogues, Sequence):
        return catalogues
    names = tuple(catalogues)
    if names not in known:
        known[names] = loaded(names)
    return known[names]


class _Reading:
    """The saves of a fleet while they are read."""

    def __init__(self, saves: Sequence[FleetSave], progress: OnProgress | None) -> None:
        self._saves = saves
        self._progress = progress
        self._total = sum(save.sources for save in saves)
        self._done = self._chunks = 0
        # Of each call, in their order: its save, and its number there.
        self._places: list[tuple[FleetSave, int]] = []

    def iter_results(self, executor: Executor | None, jobs: int | None) -> Iterator[FleetResult]:
        names = distinct_names((save.title, save.folder) for save in self._saves)
        with ExitStack() as stack:
            calls = self._iter_calls(stack)
            # What is known from earlier audits shows only as the saves are begun.
            first = list(islice(calls, FEW_REGIONS + 1))
            regions = len(first) if len(first) <= FEW_REGIONS else self._total
            workers = stack.enter_context(workers_for(regions, executor, jobs))
            reading = stack.enter_context(
                closing(iter_read(chain(first, calls), workers, meanwhile=_prepare))
            )
            for name, save in zip(names, self._saves, strict=True):
                if save.error is not None:
                    yield FleetResult(name, None, save.error)
                    continue
                while not save.is_read:
                    self._take(next(reading, None))
                yield FleetResult(name, save.audit(), None)

    def _iter_calls(self, stack: ExitStack) -> Iterator[Call[ScanRecord]]:
        for save in self._saves:
            calls = save.begin(stack)
            self._tell(save.sources - len(calls), 0)
            for number, call in enumerate(calls):
                self._places.append((save, number))
                yield call

    def _take(self, read: tuple[int, ScanRecord] | None) -> None:
        # At the end of the reading the last saves may be begun that need none.
        if read is not None:
            number, record = read
            save, place = self._places[number]
            save.take(place, record)
            self._tell(1, record.looked.chunks)

    def _tell(self, regions: int, chunks: int) -> None:
        self._done += regions
        self._chunks += chunks
        if self._progress is not None:
            self._progress(Progress(self._done, self._total, self._chunks))


def _prepare() -> None:
    import_module("analyzer.pipeline.audit_scan")
