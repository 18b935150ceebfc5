"""The scan of a save as single calls, and as a whole once they are done."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, TypeAlias

from analyzer.base.limits import Limits
from analyzer.save.files.save_files import RegionFile, SaveFiles, Source, TemplateFile
from analyzer.save.files.watch import written_meanwhile
from analyzer.save.reading.call import Call, calls_of
from analyzer.save.reading.looked import not_looked_at
from analyzer.save.scan.record import ScanRecord, empty_record
from analyzer.save.scan.wanted import Wanted, WantedTables

# Numpy is imported when there is something to merge, while others read; what reads, where there is
# something to read.
if TYPE_CHECKING:
    from analyzer.save.scan.scan import Scan
    from analyzer.save.scan.scan_source import RegionAgain

#: Told what a region file or template gave, after it was read.
OnRecord: TypeAlias = Callable[[Source, ScanRecord], None]

#: No record of any region file.
NOTHING: Final[Mapping[str, ScanRecord]] = MappingProxyType({})


class ScanTask:
    """What is to be read of a save.

    Parameters
    ----------
    files, wanted, limits, known, former, learn
        As for `scan_save`; all of the files are read.

    Attributes
    ----------
    calls
        One for each region file and template that is not known, in their order.
    """

    def __init__(
        self,
        files: SaveFiles,
        wanted: Wanted,
        *,
        limits: Limits,
        known: Mapping[str, ScanRecord] = NOTHING,
        former: Mapping[str, ScanRecord] = NOTHING,
        learn: OnRecord | None = None,
    ) -> None:
        self._files = files
        # A plain copy, since not every mapping can be sent to another process.
        self._wanted = replace(wanted, entities=dict(wanted.entities))
        self._known = known
        self._learn = learn
        self._unknown = [source for source in files.sources if source.file not in known]
        self.calls: Sequence[Call[ScanRecord]] = (
            self._calls(former, limits) if self._unknown else ()
        )

    def _calls(
        self, former: Mapping[str, ScanRecord], limits: Limits
    ) -> Sequence[Call[ScanRecord]]:
        from analyzer.save.scan.scan_source import scan_source

        return calls_of(
            partial(scan_source, wanted=self._wanted, limits=limits, sources=len(self._unknown)),
            [_again(source, former) for source in self._unknown],
            unread=_unread,
        )

    def merge(self, fresh: Sequence[ScanRecord]) -> Scan:
        """Return the scan that the results of the calls, in their order, make."""
        written = written_meanwhile(self._files)
        if self._learn is not None:
            for source, record in zip(self._unknown, fresh, strict=True):
                if source.file not in written:
                    self._learn(source, record)
        remaining = iter(fresh)
        records = [self._known.get(one.file) or next(remaining) for one in self._files.sources]
        from analyzer.save.scan.merge import merge_scan

        return merge_scan(self._files, records, WantedTables(self._wanted), written)


def _again(source: Source, former: Mapping[str, ScanRecord]) -> Source | RegionAgain:
    from analyzer.save.scan.scan_source import RegionAgain

    record = former.get(source.file)
    if record is None or isinstance(source, TemplateFile):
        return source
    return RegionAgain(source, record)


def _unread(source: Source | RegionAgain) -> ScanRecord:
    plain = source if isinstance(source, RegionFile | TemplateFile) else source.region
    return empty_record(not_looked_at(plain))
