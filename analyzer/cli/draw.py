"""``lineshaft draw``: one network as a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from analyzer.cli.options import (
    Judging,
    Reading,
    assume_active_option,
    cache_options,
    reading_options,
)
from analyzer.cli.output import write_picture, write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.settings import settings_for
from analyzer.cli.status import reading_status

if TYPE_CHECKING:
    from analyzer.pipeline.draw import ViewName


@click.command("draw", short_help="Draw one network as a picture.")
@reading_options
@cache_options
@assume_active_option
@click.option(
    "--network",
    required=True,
    metavar="ID",
    help="The network's id, as reports give it; the part before the coordinates may be left out.",
)
@click.option(
    "--view",
    type=click.Choice(["plan", "elevation", "power"]),
    default="plan",
    show_default=True,
    help="From above, from the side, or where the power goes.",
)
def command(*, assume_active: bool, network: str, view: ViewName, **reading: Any) -> int:
    """Draw one network as a picture for a post or a manual.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates. The end of --output FILE says what is
    written: .svg, or .png (which needs lineshaft[png]).
    """
    asked = Reading(**reading)
    form = "" if asked.output is None else asked.output.suffix.lower()
    if asked.output is None or form not in (".svg", ".png"):
        raise click.UsageError("name a file to draw to: --output FILE.svg or --output FILE.png.")
    from analyzer.pipeline.draw import draw_network
    from analyzer.report.picture.png import png_bytes
    from analyzer.report.picture.svg import iter_svg

    settings = settings_for(asked, Judging(assume_active=assume_active))
    audit = run_audit(asked, settings, box=None, every_byte=False)
    picture = draw_network(audit, network, view)
    if form == ".png":
        write_picture(png_bytes(picture), asked.output, quiet=asked.quiet)
    else:
        write_report(iter_svg(picture), asked.output, quiet=asked.quiet)
    return reading_status(audit.scan.coverage, allow_unread=asked.allow_unread)
