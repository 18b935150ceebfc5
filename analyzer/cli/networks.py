"""``lineshaft networks``: the networks of a save by size, distance or state."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import click

from analyzer.cli.options import (
    Judging,
    Reading,
    assume_active_option,
    box_option,
    cache_options,
    reading_options,
)
from analyzer.cli.output import write_report
from analyzer.cli.run_audit import run_audit
from analyzer.cli.settings import settings_for
from analyzer.cli.status import reading_status

if TYPE_CHECKING:
    from analyzer.report.networks_list import Order

#: Most networks of a dimension that are shown to people unless they ask for more.
_MOST_SHOWN: Final = 20
#: Coordinates that a block can have in the formats read.
_COORDINATE: Final = click.IntRange(-(2**31), 2**31 - 1)


@click.command("networks", short_help="List networks by size, distance or state.")
@reading_options
@cache_options
@box_option
@assume_active_option
@click.option(
    "--near",
    type=_COORDINATE,
    nargs=3,
    metavar="X Y Z",
    help="Tell how far each network is from this position.",
)
@click.option(
    "--sort",
    "order",
    type=click.Choice(["size", "distance", "state"]),
    help="What to list them by.  [default: distance with --near, else size]",
)
@click.option(
    "--state",
    "states",
    type=click.Choice(["turning", "idle", "overloaded", "conflicting"]),
    multiple=True,
    help="List networks in this state alone. May be repeated.",
)
@click.option(
    "--most",
    type=click.IntRange(1),
    metavar="N",
    help=f"List as many of each dimension.  [default: {_MOST_SHOWN} as text, else all]",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "csv"]),
    default="text",
    show_default=True,
    help="For people, or for machines.",
)
def command(
    *,
    box: tuple[int, int, int, int, int, int] | None,
    assume_active: bool,
    near: tuple[int, int, int] | None,
    order: Order | None,
    states: tuple[str, ...],
    most: int | None,
    form: str,
    **reading: Any,
) -> int:
    """List the networks of a save by size, distance or state.

    SAVE is the folder of a save or server, a folder of region files, a structure
    template (.nbt), or a folder of templates.
    """
    if order == "distance" and near is None:
        raise click.UsageError("--sort distance needs a position: --near X Y Z.")
    from analyzer.base.place import Block
    from analyzer.report.networks_list import list_networks
    from analyzer.report.networks_list_csv import iter_networks_csv
    from analyzer.report.networks_list_text import iter_networks_text
    from analyzer.solution.solution import State

    asked = Reading(**reading)
    settings = settings_for(asked, Judging(assume_active=assume_active))
    audit = run_audit(asked, settings, box=box, every_byte=False)
    place = None if near is None else Block(*near)
    chosen = order or ("size" if place is None else "distance")
    lists = list_networks(
        audit,
        order=chosen,
        near=place,
        states={State[state.upper()] for state in states},
        most=_MOST_SHOWN if most is None and form == "text" else most,
    )
    if form == "csv":
        report = iter_networks_csv(lists)
    else:
        report = iter_networks_text(audit, lists, order=chosen, near=place)
    write_report(report, asked.output, quiet=asked.quiet)
    return reading_status(audit.scan.coverage, allow_unread=asked.allow_unread)
