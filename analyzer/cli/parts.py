"""``lineshaft parts``: every part of a save with its speed and power."""

from __future__ import annotations

from typing import Any

import click

from analyzer.cli.options import (
    Judging,
    Reading,
    assume_active_option,
    box_option,
    cache_options,
    every_byte_option,
    reading_options,
)
from analyzer.cli.output import write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.settings import settings_for
from analyzer.cli.status import reading_status


@click.command("parts")
@reading_options
@cache_options
@box_option
@every_byte_option
@assume_active_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["csv"]),
    default="csv",
    show_default=True,
    help="The form of the table.",
)
def command(
    box: tuple[int, int, int, int, int, int] | None,
    every_byte: bool,
    assume_active: bool,
    form: str,
    **reading: Any,
) -> int:
    """List every part of a save with its network, speed and power.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates.
    """
    from analyzer.report.parts_csv import iter_parts_csv

    del form  # one form so far
    asked = Reading(**reading)
    settings = settings_for(asked, Judging(assume_active=assume_active))
    audit = run_audit(asked, settings, box=box, every_byte=every_byte)
    write_report(iter_parts_csv(audit), asked.output, quiet=asked.quiet)
    return reading_status(audit.scan.coverage, allow_unread=asked.allow_unread)
