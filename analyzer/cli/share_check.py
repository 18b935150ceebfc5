"""``lineshaft share-check``: what an author should know before giving a world away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from analyzer.cli.executing import executor_for
from analyzer.cli.options import Judging, Reading, reading_options
from analyzer.cli.output import check_target, write_report
from analyzer.cli.progress import shown_progress
from analyzer.cli.say import quoted
from analyzer.cli.settings import settings_for
from analyzer.cli.status import audit_status

if TYPE_CHECKING:
    from collections.abc import Iterator

    from analyzer.pipeline.config import FailOn
    from analyzer.pipeline.share_check import ShareCheck


@click.command("share-check", short_help="Tell what to know before giving a save away.")
@reading_options
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="For people, or for machines.",
)
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning", "never"]),
    help="Lowest level of findings that makes the exit status 1.  [default: error]",
)
def command(*, form: str, fail_on: FailOn | None, **reading: Any) -> int:
    """Tell what to know before giving a save away.

    Errors and warnings of the audit; what others must have installed; drives cut
    by the world's edge; files about people; addresses and paths in texts; what
    could not be read. Every chunk is read whole. Nothing is changed.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates.
    """
    from datetime import date

    from analyzer.pipeline.share_check import check_sharing

    asked = Reading(**reading)
    settings = settings_for(asked, Judging(fail_on=fail_on))
    if asked.output is not None:
        check_target(asked.output, asked.save)
    with executor_for(asked) as executor, shown_progress(quiet=asked.quiet) as progress:
        checked = check_sharing(
            asked.save,
            catalogues=settings.catalogues,
            policy=settings.policy,
            ignores=settings.ignores,
            today=date.today(),
            dimensions=asked.dimensions,
            limits=asked.limits,
            executor=executor,
            jobs=asked.jobs,
            progress=progress,
            follow_links=asked.follow_links,
        )
    write_report(_report(form, checked, quoted(asked.save)), asked.output, quiet=asked.quiet)
    return audit_status(
        checked.audit.scan.coverage,
        checked.audit.findings.items,
        fail_on=settings.fail_on or "error",
        allow_unread=asked.allow_unread,
    )


def _report(form: str, checked: ShareCheck, save: str) -> Iterator[str]:
    if form == "json":
        from analyzer.report.share_json import iter_share_json

        return iter_share_json(checked.audit, checked.disclosure)
    from analyzer.report.share_text import iter_share_text

    return iter_share_text(checked.audit, checked.disclosure, save=save)
