"""``lineshaft catalogue``: check catalogues, and see what they make of a block."""

from __future__ import annotations

import click

from analyzer.cli.options import catalogue_option
from analyzer.cli.output import write_report


@click.group("catalogue")
def command() -> None:
    """Check catalogues, and see what they make of a block."""


@command.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
def check(files: tuple[str, ...]) -> int:
    """Check catalogues that are to be used together; name every mistake in them.

    FILE is a TOML file, or the name of an installed catalogue.
    """
    from analyzer.catalogue.load import load_catalogues
    from analyzer.report.catalogue_summary import iter_summary

    write_report(iter_summary(load_catalogues(files)), None, quiet=True)
    return 0


@command.command("show")
@click.argument("block", metavar="BLOCK[properties]")
@catalogue_option
def show(block: str, catalogues: tuple[str, ...]) -> int:
    """Show a block's pose, ends and rim in world directions.

    BLOCK[properties] is a block state such as "quayworks:tide_wheel[facing=east]".
    """
    from analyzer.base.block import parse_block_state
    from analyzer.base.errors import UsageError
    from analyzer.catalogue.load import load_catalogues
    from analyzer.catalogue.show import Shown, show_block
    from analyzer.report.catalogue_show import iter_shown

    if not catalogues:
        raise click.UsageError("Name the catalogue that describes the block with --catalogue.")
    try:
        state = parse_block_state(block)
    except ValueError as error:
        raise UsageError(f"{error}.") from error
    found = show_block(state, load_catalogues(catalogues))
    if not isinstance(found, Shown):
        raise UsageError(f"{block}: is not understood: {found.detail}.")
    write_report(iter_shown(found), None, quiet=True)
    return 0
