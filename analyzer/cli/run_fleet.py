"""Auditing several saves as the command line asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from analyzer.base.errors import SaveNotOpenedError
from analyzer.cli.caching import cache_for
from analyzer.cli.executing import executor_for
from analyzer.cli.options import Judging, Reading
from analyzer.cli.output import check_target, write_report
from analyzer.cli.progress import shown_progress
from analyzer.cli.say import quoted, say
from analyzer.cli.settings import settings_for
from analyzer.cli.status import WRONG, audit_status, worst_status

if TYPE_CHECKING:
    from analyzer.pipeline.config import Config
    from analyzer.pipeline.fleet import FleetResult
    from analyzer.report.fleet import FleetEntry, NotOpened

_NO_FORM: Final = (
    "--format html makes one page of one save. Name one SAVE, or choose another format."
)
_NO_BASELINE: Final = "--baseline is the former report of one save. Name one SAVE."


@dataclass
class _Run:
    reading: Reading
    saves: Sequence[Path]
    settings: Sequence[Config]
    statuses: list[int] = field(default_factory=list)

    def iter_entries(self, results: Iterator[FleetResult]) -> Iterator[FleetEntry]:
        from analyzer.report.fleet import FleetEntry

        for save, settings in zip(self.saves, self.settings, strict=True):
            result = next(results)
            status = self._status(result, settings)
            self.statuses.append(status)
            why = _not_opened(result)
            if result.error is not None:
                say(f"lineshaft: {result.error}")
            yield FleetEntry(result.name, quoted(save), status, result.audit, why)
            # Let go before the next is made.
            del result

    def _status(self, result: FleetResult, settings: Config) -> int:
        if result.audit is None:
            return WRONG
        return audit_status(
            result.audit.scan.coverage,
            result.audit.findings.items,
            fail_on=settings.fail_on or "error",
            allow_unread=self.reading.allow_unread,
        )


def run_fleet(
    reading: Reading,
    judging: Judging,
    saves: Sequence[Path],
    *,
    box: tuple[int, int, int, int, int, int] | None,
    every_byte: bool,
    baseline: Path | None,
    form: str,
) -> int:
    """Audit several saves as of today, write one report, and return the worst status.

    Parameters
    ----------
    reading
        What holds for every save; its own save is not looked at.
    judging, saves, box, every_byte, baseline, form
        As the command line has them.

    Raises
    ------
    LineshaftError
        Where a catalogue, a configuration, the cache's folder or the report's place cannot be used.
    click.UsageError
        For what can be asked of one save alone.
    """
    if baseline is not None:
        raise click.UsageError(_NO_BASELINE)
    if form == "html":
        raise click.UsageError(_NO_FORM)
    settings = _settings(reading, judging, saves)
    if reading.output is not None:
        for save in saves:
            check_target(reading.output, save)
    run = _Run(reading, saves, settings)
    with (
        cache_for(reading.cache, no_cache=reading.no_cache, quiet=reading.quiet) as cache,
        executor_for(reading) as executor,
        shown_progress(quiet=reading.quiet) as progress,
    ):
        from datetime import date

        from analyzer.base.place import Block
        from analyzer.pipeline.fleet import audit_fleet
        from analyzer.pipeline.fleet_save import FleetOrder

        results = audit_fleet(
            [
                FleetOrder(save, one.catalogues, one.policy, one.ignores)
                for save, one in zip(saves, settings, strict=True)
            ],
            today=date.today(),
            dimensions=reading.dimensions,
            box=None if box is None else (Block(*box[:3]), Block(*box[3:])),
            every_byte=every_byte,
            limits=reading.limits,
            executor=executor,
            jobs=reading.jobs,
            progress=progress,
            cache=cache,
            follow_links=reading.follow_links,
        )
        write_report(_report(form, run.iter_entries(results)), reading.output, quiet=reading.quiet)
    return worst_status(run.statuses)


def _settings(reading: Reading, judging: Judging, saves: Sequence[Path]) -> list[Config]:
    """Return what holds for each save; a file that is named holds for all."""
    if reading.config is not None or reading.no_config:
        return [settings_for(reading, judging)] * len(saves)
    return [settings_for(replace(reading, save=save), judging) for save in saves]


def _not_opened(result: FleetResult) -> NotOpened | None:
    from analyzer.report.fleet import NotOpened

    if result.error is None:
        return None
    if isinstance(result.error, SaveNotOpenedError):
        return NotOpened("not-opened", result.error.reason)
    return NotOpened("no-such-dimension", str(result.error))


def _report(form: str, entries: Iterator[FleetEntry]) -> Iterator[str]:
    match form:
        case "json":
            from analyzer.report.fleet_json import iter_fleet_json

            return iter_fleet_json(entries)
        case "csv":
            from analyzer.report.fleet_csv import iter_fleet_csv

            return iter_fleet_csv(entries)
        case "sarif":
            from analyzer.report.fleet_sarif import iter_fleet_sarif

            return iter_fleet_sarif(entries)
    from analyzer.report.fleet_text import iter_fleet_text

    return iter_fleet_text(entries)
