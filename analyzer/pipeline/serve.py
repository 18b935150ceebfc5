"""What a process of `Processes` runs: call after call, until nothing more comes.

It imports next to nothing by itself, so that it is there in no time.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, BinaryIO


def serve_pipes(modules: Sequence[str]) -> None:
    """Answer calls from standard input on standard output; does not return.

    Parameters
    ----------
    modules
        Names of modules to import while no call has come yet.
    """
    serve(sys.stdin.buffer, os.fdopen(os.dup(1), "wb"), modules)


def serve(calls: BinaryIO, answers: BinaryIO, modules: Sequence[str] = ()) -> None:
    """Answer calls; does not return.

    What comes is a pair: a function, or None for the last one, and its one argument. What goes back
    is a pair as well: whether it returned, and what it returned or, as text, raised. The first
    answer is to no call: it says that the process is there.

    Parameters
    ----------
    calls, answers
        Where they are read and written.
    modules
        Names of modules to import while no call has come yet.
    """
    # An interrupt from the keyboard reaches every process; it is for the first one to answer.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # Whatever is printed must not come between the answers.
    os.dup2(2, 1)
    function: Any = None
    argument: Any = None
    try:
        pickle.dump((True, None), answers)
        answers.flush()
        for module in modules:
            import_module(module)
        while True:
            given, argument = pickle.load(calls)
            function = given or function
            answers.write(_answer(function, argument))
            answers.flush()
    except (EOFError, BrokenPipeError):
        # No more calls come, or nobody waits for the answer any longer: the caller may have been
        # killed. There is nothing to tidy up.
        os._exit(0)


def _answer(function: Any, argument: Any) -> bytes:
    try:
        return pickle.dumps((True, function(argument)), pickle.HIGHEST_PROTOCOL)
    except MemoryError:
        # As good as ended from outside; what is left of it is not to be trusted with more.
        os._exit(1)
    except Exception:
        import traceback

        return pickle.dumps((False, traceback.format_exc()), pickle.HIGHEST_PROTOCOL)
