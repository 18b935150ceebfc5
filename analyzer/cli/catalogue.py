"""``lineshaft catalogue``: check catalogues, and see what they make of a block."""

from __future__ import annotations

from itertools import chain
from pathlib import Path

import click

from analyzer.cli.caching import cache_for
from analyzer.cli.options import cache_options, catalogue_option, jobs_option
from analyzer.cli.output import write_report
from analyzer.cli.progress import shown_progress
from analyzer.cli.status import trial_status


@click.group("catalogue")
def command() -> None:
    """Check catalogues, and see what they make of a block."""


@command.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--against",
    "save",
    type=click.Path(path_type=Path),
    metavar="SAVE",
    help="Hold the catalogues against the speeds that this save recorded.",
)
@click.option(
    "--dimension",
    "dimensions",
    multiple=True,
    metavar="NAME",
    help="With --against: look at this dimension alone. May be repeated.",
)
@click.option(
    "--allow-unread",
    is_flag=True,
    help="With --against: accept that something could not be read.",
)
@jobs_option
@cache_options
@click.option("--quiet", is_flag=True, help="Say nothing on standard error but errors.")
def check(
    *,
    files: tuple[str, ...],
    save: Path | None,
    dimensions: tuple[str, ...],
    allow_unread: bool,
    jobs: int | None,
    cache: Path | None,
    no_cache: bool,
    quiet: bool,
) -> int:
    """Check catalogues that are to be used together; name every mistake in them.

    FILE is a TOML file, or the name of an installed catalogue.

    With --against SAVE, they are also held against the speeds that the save
    recorded; what those do not fit ends the command with status 1.
    """
    from analyzer.catalogue.load import load_catalogues
    from analyzer.report.catalogue_summary import iter_summary

    if save is None and (dimensions or allow_unread):
        raise click.UsageError("--dimension and --allow-unread are of use with --against only.")
    catalogues = load_catalogues(files)
    summary = iter_summary(catalogues)
    if save is None:
        write_report(summary, None, quiet=True)
        return 0
    from analyzer.pipeline.trial import trial_save
    from analyzer.report.trial_text import iter_trial_text

    with (
        cache_for(cache, no_cache=no_cache, quiet=quiet) as kept,
        shown_progress(quiet=quiet) as progress,
    ):
        tried = trial_save(
            save, catalogues, dimensions=dimensions, jobs=jobs, progress=progress, cache=kept
        )
    write_report(chain(summary, ["\n"], iter_trial_text(tried.trial)), None, quiet=True)
    return trial_status(tried.audit.scan.coverage, tried.trial, allow_unread=allow_unread)


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
    from analyzer.catalogue.resolve import NotAPart, NotUnderstood
    from analyzer.catalogue.show import show_block
    from analyzer.report.catalogue_show import iter_shown

    if not catalogues:
        raise click.UsageError("Name the catalogue that describes the block with --catalogue.")
    try:
        state = parse_block_state(block)
    except ValueError as error:
        raise UsageError(f"{error}.") from error
    found = show_block(state, load_catalogues(catalogues))
    if isinstance(found, NotAPart):
        raise UsageError(f"{block}: is no part: {found.detail}.")
    if isinstance(found, NotUnderstood):
        raise UsageError(f"{block}: is not understood: {found.detail}.")
    write_report(iter_shown(found), None, quiet=True)
    return 0
