"""The scan of one region or template, as a process that does nothing else runs it."""

from __future__ import annotations

from analyzer.base.limits import Limits
from analyzer.save.record import ScanRecord
from analyzer.save.save_files import Source, TemplateFile
from analyzer.save.scan_region import scan_region
from analyzer.save.wanted import Wanted


def scan_source(source: Source, wanted: Wanted, limits: Limits) -> ScanRecord:
    """Scan one region file or template; whatever is wrong with it ends up in the record.

    All arguments and the result can be pickled, so that any executor can run it.
    """
    if isinstance(source, TemplateFile):
        # Templates need numpy, which region files mostly do without.
        from analyzer.save.scan_template import scan_template

        return scan_template(source, wanted, limits)
    return scan_region(source, wanted, limits)
