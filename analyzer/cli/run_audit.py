"""Running an audit as the command line asks for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from analyzer.cli.caching import cache_for
from analyzer.cli.executing import executor_for
from analyzer.cli.options import Reading
from analyzer.cli.output import check_target
from analyzer.cli.progress import shown_progress

if TYPE_CHECKING:
    from analyzer.findings.audit import Audit
    from analyzer.pipeline.config import Config


def run_audit(
    reading: Reading,
    settings: Config,
    *,
    box: tuple[int, int, int, int, int, int] | None,
    every_byte: bool,
) -> Audit:
    """Audit the save as of today, with progress on a terminal.

    Raises
    ------
    LineshaftError
        Where the audit cannot be made, or its report could not be written.
    """
    from datetime import date

    from analyzer.base.place import Block
    from analyzer.pipeline.audit import audit_save

    if reading.output is not None:
        check_target(reading.output, reading.save)
    with (
        cache_for(reading.cache, no_cache=reading.no_cache, quiet=reading.quiet) as cache,
        executor_for(reading) as executor,
        shown_progress(quiet=reading.quiet) as progress,
    ):
        return audit_save(
            reading.save,
            catalogues=settings.catalogues,
            policy=settings.policy,
            ignores=settings.ignores,
            today=date.today(),
            dimensions=reading.dimensions,
            box=None if box is None else (Block(*box[:3]), Block(*box[3:])),
            every_byte=every_byte,
            progress=progress,
            executor=executor,
            jobs=reading.jobs,
            limits=reading.limits,
            cache=cache,
            follow_links=reading.follow_links,
        )
