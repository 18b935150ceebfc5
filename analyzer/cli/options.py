"""Arguments and options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from analyzer.base.limits import Limits

if TYPE_CHECKING:
    from analyzer.pipeline.config import FailOn

_LIMITS = tuple(limit.name for limit in fields(Limits))
_MOST_DIGITS = 15

Command = TypeVar("Command", bound=Callable[..., Any])


@dataclass(frozen=True)
class Reading:
    """What a command that reads a save was asked for.

    Parameters
    ----------
    save
        Folder of the save as it was given.
    dimensions, catalogues
        Names that were given; none means all dimensions, or no catalogue.
    config
        Configuration file that was given; None: the one beside the save, if there is one.
    output
        File to write; None for standard output.
    no_config, allow_unread, quiet
        Flags of these names.
    cache
        Folder that was given to keep in what is known of saves; None: the user's own.
    no_cache
        Flag of this name.
    jobs
        How many processes are to read regions; None: one for each processor.
    limits
        Bounds of reading one chunk or template.
    executor
        Engine that is to read regions, as it was given; None: processes of our own.
    follow_links
        Flag of this name.
    """

    save: Path
    dimensions: tuple[str, ...]
    catalogues: tuple[str, ...]
    config: Path | None
    output: Path | None
    no_config: bool
    allow_unread: bool
    quiet: bool
    cache: Path | None = None
    no_cache: bool = False
    jobs: int | None = None
    limits: Limits = Limits()  # noqa: RUF009 (frozen)
    executor: str | None = None
    follow_links: bool = False


@dataclass(frozen=True)
class Judging:
    """What a command that judges was asked for.

    Parameters
    ----------
    only, ignored
        Rules that alone are judged, and rules that are not.
    fail_on
        Lowest level of findings that makes the audit fail; None leaves it to the configuration.
    assume_active, hints
        Flags of these names.
    """

    only: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()
    fail_on: FailOn | None = None
    assume_active: bool = False
    hints: bool = False


catalogue_option = click.option(
    "--catalogue",
    "catalogues",
    multiple=True,
    metavar="NAME|FILE",
    help="What the blocks do: a TOML file, or the name of an installed catalogue. May be repeated.",
)


jobs_option = click.option(
    "--jobs",
    type=click.IntRange(min=1),
    metavar="N",
    help="Read region files on this many processes, where there are more than a few.  "
    "[default: one for each processor]",
)

executor_option = click.option(
    "--executor",
    metavar="dask:ADDRESS",
    help="Read region files on the workers of the dask scheduler at this address (docs/fleet.md) "
    "instead of processes of this machine.",
)


def _limits(_context: click.Context, _option: click.Parameter, given: tuple[str, ...]) -> Limits:
    limits = Limits()
    for text in given:
        name, _, number = text.partition("=")
        if name not in _LIMITS:
            raise click.BadParameter(f"{name!r} is no limit; there are {', '.join(_LIMITS)}.")
        # More digits than any limit needs would take long to read.
        if not (number.isascii() and number.isdigit() and len(number) <= _MOST_DIGITS):
            raise click.BadParameter(f"{text!r}: expected {name}=NUMBER, a whole number.")
        if int(number) < 1:
            raise click.BadParameter(f"{text!r}: expected at least 1.")
        limits = replace(limits, **{name: int(number)})
    return limits


limit_option = click.option(
    "--limit",
    "limits",
    multiple=True,
    metavar="NAME=NUMBER",
    callback=_limits,
    help=f"Give up a chunk or template beyond this: {', '.join(_LIMITS)}. May be repeated.",
)


def reading_options(command: Command) -> Command:
    """Add the argument and options of every command that reads a save, given as one `Reading`."""
    save = click.argument("save", type=click.Path(path_type=Path))
    return save(reading_without_save(command))


def fleet_options(command: Command) -> Command:
    """Add the same for a command that reads any number of saves, given apart as `saves`."""
    saves = click.argument(
        "saves", type=click.Path(path_type=Path), nargs=-1, required=True, metavar="SAVE..."
    )
    return saves(reading_without_save(command))


def reading_without_save(command: Command) -> Command:
    """Add the options of every command that reads a save."""
    for add in (
        click.option("--quiet", is_flag=True, help="Say nothing on standard error but errors."),
        click.option(
            "--allow-unread", is_flag=True, help="Accept that something could not be read."
        ),
        click.option(
            "--output",
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="Write the report to a file instead of standard output.",
        ),
        click.option(
            "--no-config", is_flag=True, help="Look for no lineshaft.toml beside the save's folder."
        ),
        click.option(
            "--config",
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="Take settings from this file instead of lineshaft.toml beside the save's folder.",
        ),
        click.option(
            "--follow-links",
            is_flag=True,
            help="Read what links that lead out of the save lead to.",
        ),
        limit_option,
        executor_option,
        jobs_option,
        catalogue_option,
        click.option(
            "--dimension",
            "dimensions",
            multiple=True,
            metavar="NAME",
            help="Look at this dimension alone; names that of a bare region folder. May be "
            "repeated.",
        ),
    ):
        command = add(command)
    return command


def cache_options(command: Command) -> Command:
    """Add the options of every command that need not read again what has not changed."""
    for add in (
        click.option(
            "--no-cache", is_flag=True, help="Read every region file again, and keep nothing."
        ),
        click.option(
            "--cache",
            type=click.Path(path_type=Path),
            metavar="DIR",
            help="Keep what is known of region files in this folder instead of the user's cache "
            "folder, so that those that have not changed are not read again.",
        ),
    ):
        command = add(command)
    return command


box_option = click.option(
    "--box",
    type=int,
    nargs=6,
    metavar="X1 Y1 Z1 X2 Y2 Z2",
    help="Judge only networks with a part in this box; both corners belong to it.",
)
assume_active_option = click.option(
    "--assume-active",
    is_flag=True,
    help="Take every mover that is not active to run at its rating.",
)
every_byte_option = click.option(
    "--every-byte",
    is_flag=True,
    help="Read all of every chunk, so that no damage stays unseen.",
)
