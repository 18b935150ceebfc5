"""The scan of a save: candidates for parts, what was looked at, what was left over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, TypeAlias

from analyzer.base.limits import Limits
from analyzer.save.chosen_dimensions import choose_dimensions
from analyzer.save.looked import not_looked_at
from analyzer.save.progress import OnProgress
from analyzer.save.read_each import read_each
from analyzer.save.record import ScanRecord, empty_record
from analyzer.save.save_files import SaveFiles, Source, TemplateFile
from analyzer.save.scan_source import RegionAgain, scan_source
from analyzer.save.wanted import Wanted, WantedTables

# Its numpy is imported when there is something to merge, while others read.
if TYPE_CHECKING:
    from analyzer.save.scan import Scan

#: Told what a region file or template gave, after it was read.
OnRecord: TypeAlias = Callable[[Source, ScanRecord], None]

_NOTHING: Final[Mapping[str, ScanRecord]] = MappingProxyType({})


def scan_save(
    files: SaveFiles,
    wanted: Wanted,
    *,
    dimensions: tuple[str, ...] = (),
    limits: Limits = Limits(),  # noqa: B008 - a frozen value
    executor: Executor | None = None,
    progress: OnProgress | None = None,
    known: Mapping[str, ScanRecord] = _NOTHING,
    former: Mapping[str, ScanRecord] = _NOTHING,
    learn: OnRecord | None = None,
    meanwhile: Callable[[], None] | None = None,
) -> Scan:
    """Scan a save for the blocks that a catalogue names.

    Parameters
    ----------
    files
        The save, as `locate_save` found it.
    wanted
        Block-entity ids and block names to look for, and the numbers to read.
    dimensions
        Names of the dimensions to scan; none means all.
    limits
        Bounds of reading one chunk.
    executor
        Where regions are read; None reads them in this process, one after the other. It makes no
        difference to the result.
    progress
        Told how far the reading has come; what is known needs none.
    known
        Records of region files, by the file's path relative to the save, that are as good as what
        reading the files would give.
    former
        Earlier records of region files, likewise, for the same `wanted` and `limits`: they spare
        the parsing of chunks that are still the same bytes, and make no difference to the result.
    learn
        Told of each record that was not known.
    meanwhile
        Called once while the executor reads, to make use of the time; not without one.

    Returns
    -------
    Scan
        Of an empty save: no candidates and no regions.

    Raises
    ------
    UsageError
        For a dimension that the save does not have.
    """
    files = choose_dimensions(files, dimensions)
    # A plain copy, since not every mapping can be sent to another process.
    wanted = replace(wanted, entities=dict(wanted.entities))
    unknown = [source for source in files.sources if source.file not in known]
    fresh = read_each(
        [_again(source, former) for source in unknown],
        partial(scan_source, wanted=wanted, limits=limits),
        unread=_unread,
        chunks_of=lambda record: record.looked.chunks,
        executor=executor,
        progress=progress,
        meanwhile=meanwhile,
    )
    if learn is not None:
        for source, record in zip(unknown, fresh, strict=True):
            learn(source, record)
    remaining = iter(fresh)
    records = [known.get(source.file) or next(remaining) for source in files.sources]
    from analyzer.save.merge import merge_scan

    return merge_scan(files, records, WantedTables(wanted))


def _again(source: Source, former: Mapping[str, ScanRecord]) -> Source | RegionAgain:
    record = former.get(source.file)
    if record is None or isinstance(source, TemplateFile):
        return source
    return RegionAgain(source, record)


def _unread(source: Source | RegionAgain) -> ScanRecord:
    plain = source.region if isinstance(source, RegionAgain) else source
    return empty_record(not_looked_at(plain))
