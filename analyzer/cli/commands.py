"""The commands of ``lineshaft``, each imported when it is asked for."""

from __future__ import annotations

from importlib import import_module
from typing import Any, Final

import click

from analyzer.cli.stopped import StoppedError
from analyzer.report.version import VERSION, VERSION_LINE

#: Commands in the order in which the help lists them, with what they do; each is in a module of its
#: name.
COMMANDS: Final = {
    "audit": "Find the drives in a save, solve and judge them.",
    "explain": "Tell why one part turns as it does.",
    "advise": "Tell what to change, or try a change.",
    "draw": "Draw one network as a picture.",
    "networks": "List networks by size, distance or state.",
    "parts": "List every part of a save with its network, speed and power.",
    "survey": "List the block entities of a save, or draft a catalogue.",
    "share-check": "Tell what to know before giving a save away.",
    "catalogue": "Check catalogues, and see what they make of a block.",
    "demo": "Build the demo save and audit it.",
}


class _Commands(click.Group):
    """Commands that are imported when they are asked for, so that the others cost nothing."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"analyzer.cli.{cmd_name.replace('-', '_')}").command
        return command

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt as error:
            # click would say an empty line of its own.
            raise StoppedError from error

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        # To ask the commands themselves would be to import them all.
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
@click.version_option(VERSION, message=VERSION_LINE)
def cli() -> None:
    """Find and judge the drives in the save of a block world.

    Saves are opened for reading only; the game is not needed.
    """
