"""``lineshaft audit``: find the drives in a save, solve them and judge them."""

from __future__ import annotations

import shlex
from typing import Any

import click

from analyzer.cli.options import Reading, box_option, every_byte_option, reading_options
from analyzer.cli.output import write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.status import audit_status


@click.command("audit")
@reading_options
@box_option
@every_byte_option
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
    type=click.Choice(["error", "warning", "note", "never"]),
    default="error",
    show_default=True,
    help="Lowest level of findings that makes the exit status 1.",
)
def command(
    box: tuple[int, int, int, int, int, int] | None,
    every_byte: bool,
    form: str,
    fail_on: str,
    **reading: Any,
) -> int:
    """Find the drives in a save, solve them exactly and judge them.

    SAVE is the folder of a save or server, or a folder of region files.
    """
    from analyzer.base.policy import Level
    from analyzer.report.audit_json import iter_audit_json
    from analyzer.report.audit_text import iter_audit_text

    asked = Reading(**reading)
    audit = run_audit(asked, box=box, every_byte=every_byte)
    if form == "json":
        report = iter_audit_json(audit)
    else:
        report = iter_audit_text(audit, save=shlex.quote(str(asked.save)))
    write_report(report, asked.output, quiet=asked.quiet)
    return audit_status(
        audit.scan.coverage,
        audit.findings,
        fail_on=None if fail_on == "never" else Level[fail_on.upper()],
        allow_unread=asked.allow_unread,
    )
