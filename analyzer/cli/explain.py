"""``lineshaft explain``: why one part turns as it does."""

from __future__ import annotations

from typing import Any, Final

import click

from analyzer.cli.options import (
    Judging,
    Reading,
    assume_active_option,
    cache_options,
    reading_options,
)
from analyzer.cli.output import write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.say import quoted
from analyzer.cli.settings import settings_for
from analyzer.cli.status import reading_status

#: Coordinates that a block can have in the formats read.
_COORDINATE: Final = click.IntRange(-(2**31), 2**31 - 1)


@click.command(
    "explain",
    short_help="Tell why one part turns as it does.",
    # A coordinate below zero looks like an option, and is none.
    context_settings={"ignore_unknown_options": True},
)
@reading_options
@cache_options
@assume_active_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="For people, or for machines.",
)
@click.argument("x", type=_COORDINATE)
@click.argument("y", type=_COORDINATE)
@click.argument("z", type=_COORDINATE)
def command(*, x: int, y: int, z: int, assume_active: bool, form: str, **reading: Any) -> int:
    """Tell why the part at a position turns as it does, or what would drive it.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates. X Y Z is the block's position.
    """
    from analyzer.base.place import Block
    from analyzer.pipeline.explain import explain_place
    from analyzer.report.explain_json import iter_explain_json
    from analyzer.report.explain_text import iter_explain_text

    asked = Reading(**reading)
    settings = settings_for(asked, Judging(assume_active=assume_active))
    audit = run_audit(asked, settings, box=None, every_byte=False)
    told = explain_place(
        audit,
        asked.save,
        Block(x, y, z),
        dimensions=asked.dimensions,
        limits=asked.limits,
        follow_links=asked.follow_links,
    )
    if form == "json":
        report = iter_explain_json(audit, told)
    else:
        report = iter_explain_text(audit, told, save=quoted(asked.save))
    write_report(report, asked.output, quiet=asked.quiet)
    return reading_status(audit.scan.coverage, allow_unread=asked.allow_unread)
