"""The command ``lineshaft``: finds the command asked for, and turns errors into exit statuses."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from analyzer.base.errors import LineshaftError, MistakesError
from analyzer.cli.output import prepare_streams, write_report
from analyzer.cli.say import drop, say
from analyzer.cli.status import BROKEN, INTERRUPTED, WRONG
from analyzer.cli.stopped import StoppedError
from analyzer.report.version import VERSION_LINE

if TYPE_CHECKING:
    import click

#: New objects after which cycles among them are looked for.
_OBJECTS_A_SEARCH: Final = 300_000


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line and end the process with its status."""
    # Hardly any of what a command makes is cyclic, and little of it is garbage before the end.
    gc.set_threshold(_OBJECTS_A_SEARCH)
    # Without this, to import numpy is to begin threads for linear algebra, of which there is none;
    # and a process with threads is not copied (analyzer/pipeline/child.py).
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    status = run(arguments)
    if status == INTERRUPTED:
        # At once: the interpreter's own way out was once seen to end by the signal instead, with
        # another status.
        for stream in filter(None, (sys.stdout, sys.stderr)):
            with contextlib.suppress(OSError, ValueError):
                stream.flush()
        os._exit(status)
    # What is left goes with the process. The interpreter would search all of it for garbage on its
    # way out, more than once, which takes 30 ms for what is imported alone.
    gc.freeze()
    sys.exit(status)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit status (docs/output.md, Exit status)."""
    prepare_streams()
    try:
        return _run(sys.argv[1:] if arguments is None else list(arguments))
    except MistakesError as error:
        first, *others = map(str, error.mistakes)
        for line in (f"lineshaft: {first}", *others):
            say(line)
        return WRONG
    except LineshaftError as error:
        say(f"lineshaft: {error}")
        return WRONG
    except (KeyboardInterrupt, StoppedError) as error:
        stopped = error if isinstance(error, StoppedError) else StoppedError()
        say(f"lineshaft: {stopped}")
        return INTERRUPTED
    except Exception:
        import traceback

        with contextlib.suppress(OSError):
            traceback.print_exc()
        say("lineshaft: this is a fault of the program; please report it")
        return BROKEN


def _run(arguments: list[str]) -> int:
    if arguments == ["--version"]:
        # The library for command lines gives the same answer, and takes 25 ms to be imported.
        write_report([f"{VERSION_LINE}\n"], None, quiet=True)
        return 0
    import click

    from analyzer.cli.commands import cli

    try:
        status: Any = cli.main(args=arguments, prog_name="lineshaft", standalone_mode=False)
    except click.ClickException as error:
        _show(error)
        return error.exit_code
    except click.Abort as error:
        raise StoppedError from error
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
