"""The scan of one region or template, as a process that does nothing else runs it."""

from __future__ import annotations

from dataclasses import dataclass

from analyzer.base.limits import Limits
from analyzer.save.files.save_files import RegionFile, Source, TemplateFile
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan_region import scan_region
from analyzer.save.scan.wanted import Wanted


@dataclass(frozen=True)
class RegionAgain:
    """A region file to read, and what an earlier scan for the same gave."""

    region: RegionFile
    former: ScanRecord

    @property
    def file(self) -> str:
        """The file's path relative to the save."""
        return self.region.file


def scan_source(
    source: Source | RegionAgain, wanted: Wanted, limits: Limits, *, sources: int = 1
) -> ScanRecord:
    """Scan one region file or template; whatever is wrong with it ends up in the record.

    All arguments and the result can be pickled, so that any executor can run it. For `sources` see
    `scan_region`.
    """
    if isinstance(source, TemplateFile):
        # Templates need numpy, which region files mostly do without.
        from analyzer.save.scan.scan_template import scan_template

        return scan_template(source, wanted, limits)
    if isinstance(source, RegionAgain):
        return scan_region(source.region, wanted, limits, former=source.former, sources=sources)
    return scan_region(source, wanted, limits, sources=sources)
