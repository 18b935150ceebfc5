"""The kernel in this process, if it is worth its loading: an optional extra."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any, Final, TypeAlias

from analyzer.save.compiled.image import keep_image, map_image
from analyzer.save.compiled.keep import Code
from analyzer.save.compiled.objects import keep_objects, kept_objects, load_objects

#: Takes a chunk or its address, its bytes, and two more numbers or addresses.
Entry: TypeAlias = Callable[[Any, int, Any, Any], int]

# Seconds that must be there to be saved by one process before machine code is mapped, which takes
# 0.003 s; before the compiler's library loads it, which takes 0.05 s; and before it is made, which
# takes some 5 s and happens once.
_WORTH_MAPPING: Final = 0.01
_WORTH_LOADING: Final = 0.1
_WORTH_MAKING: Final = 6.0


@dataclass(frozen=True)
class Kernel:
    """The entries of `analyzer.save.compiled.kernel` as machine code.

    Parameters
    ----------
    walk_chunk, chart_chunk, may_hold
        See there.
    owner
        What must not go before them.
    """

    walk_chunk: Entry
    chart_chunk: Entry
    may_hold: Entry
    owner: Any


_lock: Final = Lock()
_kernel: Kernel | None = None


def kernel_if_worth(seconds: float) -> Kernel | None:
    """Return the kernel; None where there is none, or loading it takes longer than it saves.

    Parameters
    ----------
    seconds
        What a process can expect to save by it.
    """
    global _kernel  # noqa: PLW0603 - one for the process
    if _kernel is not None or seconds < _WORTH_MAPPING:
        return _kernel
    with _lock:
        for worth, find in _WAYS:
            if _kernel is None and find not in _tried and seconds >= worth:
                _tried.add(find)
                # Whatever the compiler raises, or another version of it: the plain walk does it
                # all.
                with suppress(Exception):
                    _kernel = find()
    return _kernel


def kernel_of(entries: Mapping[str, int], owner: Any = None) -> Kernel:
    """Return the kernel by the addresses of its entries.

    Parameters
    ----------
    entries
        By name.
    owner
        What must not go before them.
    """
    number, address = ctypes.c_int64, ctypes.c_void_p
    # No other thread runs meanwhile: what is read must not change, and it is over soon.
    walk = ctypes.PYFUNCTYPE(number, address, number, address, address)
    hold = ctypes.PYFUNCTYPE(number, address, number, address, number)
    return Kernel(
        walk(entries["walk_chunk"]),
        walk(entries["chart_chunk"]),
        hold(entries["may_hold"]),
        owner,
    )


def load_code(code: Code) -> Kernel:
    """Return the kernel that object files are; they must have been made for this processor.

    Raises
    ------
    OSError
        Where the system does not let a program run what it has made.
    """
    return kernel_of(*load_objects(code))


def keep_code(code: Code) -> Path:
    """Keep machine code for this processor in the way in which it is loaded soonest.

    Raises
    ------
    OSError
        Where that cannot be done.
    """
    return keep_image(code) or keep_objects(code)


def _mapped() -> Kernel | None:
    entries = map_image()
    return None if entries is None else kernel_of(entries)


def _loaded() -> Kernel | None:
    code = kept_objects()
    return None if code is None else load_code(code)


def _made() -> Kernel | None:
    if sys.dont_write_bytecode:
        return None
    from analyzer.save.compiled.build import make_code

    code = make_code()
    keep_code(code)
    return _mapped() or load_code(code)


# What each way of coming to the kernel must save to be tried, and those that were.
_WAYS: tuple[tuple[float, Callable[[], Kernel | None]], ...] = (
    (_WORTH_MAPPING, _mapped),
    (_WORTH_LOADING, _loaded),
    (_WORTH_MAKING, _made),
)
_tried: set[Callable[[], Kernel | None]] = set()


def chunks_ahead(chunks: int, sources: int) -> float:
    """Return how many chunks one process can expect, if all of some sources are like one."""
    return chunks * sources / min(sources, os.cpu_count() or 1)
