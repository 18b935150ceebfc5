"""A save of three regions with a cache, and which of its region files were read."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest

from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.cache import Cache
from analyzer.report.audit_json import iter_audit_json
from analyzer.report.audit_text import iter_audit_text
from analyzer.report.parts_csv import iter_parts_csv
from analyzer.save.scan import scan_source
from tests.support.saves import save_of
from tests.support.sketch import sketch

LINE = "wheel:e shaft:x layer:e"
PLACES = ((40, 64, 40), (600, 64, 40), (40, 64, 600))
#: The region files, each with one of the places.
FILES = ["region/r.0.0.mca", "region/r.0.1.mca", "region/r.1.0.mca"]
SECOND_NS = 1_000_000_000


class Bench:
    """A save of three regions, a cache, and which region files were read."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.save = save_of(folder, self.lines(LINE, LINE, LINE))
        self.folder = folder / "cache"
        self.notes: list[str] = []
        self.read: list[str] = []
        self.later_ns = 60 * SECOND_NS
        plain = scan_source.scan_source

        def counted(source: Any, *given: Any, **named: Any) -> Any:
            self.read.append(source.file)
            return plain(source, *given, **named)

        monkeypatch.setattr(scan_source, "scan_source", counted)

    @staticmethod
    def lines(*lines: str) -> tuple[Any, ...]:
        pairs = zip(lines, PLACES, strict=True)
        return tuple(placement for line, at in pairs for placement in sketch(line, at))

    def cache(self) -> Cache:
        """Return the cache, by whose clock all files are old enough."""
        return Cache(
            self.folder, self.notes.append, clock_ns=lambda: time.time_ns() + self.later_ns
        )

    def audit(self, **given: Any) -> tuple[list[str], str]:
        """Audit with the cache, hold the report against one without, and return what was read."""
        arguments = {"catalogues": ["quayworks"]} | given
        self.read.clear()
        report = everything(audit_save(self.save, cache=self.cache(), **arguments))
        read = sorted(self.read)
        assert report == everything(audit_save(self.save, **arguments))
        return read, report

    def store(self) -> Path:
        (found,) = self.folder.glob("*.store")
        return found


def everything(audit: Audit) -> str:
    return "".join((*iter_audit_json(audit), *iter_audit_text(audit), *iter_parts_csv(audit)))
