"""The command ``lineshaft``: finds the command asked for, and turns errors into exit statuses."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, Final

import click

from analyzer.base.errors import LineshaftError, MistakesError
from analyzer.cli.output import prepare_streams
from analyzer.cli.say import drop, say
from analyzer.cli.status import BROKEN, INTERRUPTED, WRONG
from analyzer.cli.stopped import StoppedError
from analyzer.report.version import VERSION

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
#: New objects after which cycles among them are looked for.
_OBJECTS_A_SEARCH: Final = 100_000


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
@click.version_option(VERSION, prog_name="lineshaft", message="%(prog)s %(version)s")
def cli() -> None:
    """Find and judge the drives in the save of a block world.

    Saves are opened for reading only; the game is not needed.
    """


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line and end the process with its status."""
    # Hardly any of what a command makes is cyclic, and little of it is garbage before the end.
    gc.set_threshold(_OBJECTS_A_SEARCH)
    status = run(arguments)
    if status == INTERRUPTED:
        # At once: the interpreter's own way out was once seen to end by the signal instead, with
        # another status.
        for stream in filter(None, (sys.stdout, sys.stderr)):
            with contextlib.suppress(OSError, ValueError):
                stream.flush()
        os._exit(status)
    sys.exit(status)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit status (docs/output.md, Exit status)."""
    prepare_streams()
    try:
        status: Any = cli.main(args=arguments, prog_name="lineshaft", standalone_mode=False)
    except MistakesError as error:
        first, *others = map(str, error.mistakes)
        for line in (f"lineshaft: {first}", *others):
            say(line)
        return WRONG
    except LineshaftError as error:
        say(f"lineshaft: {error}")
        return WRONG
    except click.ClickException as error:
        _show(error)
        return error.exit_code
    except (click.Abort, KeyboardInterrupt, StoppedError) as error:
        stopped = error if isinstance(error, StoppedError) else StoppedError()
        say(f"lineshaft: {stopped}")
        return INTERRUPTED
    except Exception:
        import traceback

        with contextlib.suppress(OSError):
            traceback.print_exc()
        say("lineshaft: this is a fault of the program; please report it")
        return BROKEN
    return status if isinstance(status, int) else 0


def _show(error: click.ClickException) -> None:
    if sys.stderr is None:
        return
    try:
        error.show()
    except OSError:
        drop(sys.stderr)


if __name__ == "__main__":
    main()
