"""The kernel in this process, if it is worth its loading: an optional extra."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from threading import Lock
from typing import Any, Final, TypeAlias

from analyzer.save.compiled.keep import Code, has_code, keep_code, kept_code

#: Takes a chunk or its address, its bytes, and two more numbers or addresses.
Entry: TypeAlias = Callable[[Any, int, Any, Any], int]

# Seconds that must be there to be saved by one process before the machine code is loaded, which
# takes 0.05 s, and before it is made, which takes some 3 s and happens once.
_WORTH_LOADING: Final = 0.1
_WORTH_MAKING: Final = 4.0


@dataclass(frozen=True)
class Kernel:
    """The entries of `analyzer.save.compiled.kernel` as machine code.

    Parameters
    ----------
    walk_chunk, chart_chunk, may_hold
        See there.
    engine
        Owns the machine code.
    """

    walk_chunk: Entry
    chart_chunk: Entry
    may_hold: Entry
    engine: Any


_lock: Final = Lock()
# Here, or known not to be had; what would not be worth it may be so for the next region.
_kernel: Kernel | None = None
_missing = False


def kernel_if_worth(seconds: float) -> Kernel | None:
    """Return the kernel; None where there is none, or loading it takes longer than it saves.

    Parameters
    ----------
    seconds
        What a process can expect to save by it.
    """
    global _kernel, _missing  # noqa: PLW0603 - one for the process
    if _kernel is not None or _missing or seconds < _WORTH_LOADING:
        return _kernel
    may_make = seconds >= _WORTH_MAKING and not sys.dont_write_bytecode
    if not may_make and not has_code():
        return None
    with _lock:
        if _kernel is None and not _missing:
            _missing = True
            # Whatever the compiler raises, or another version of it: the plain walk does it all.
            with suppress(Exception):
                code = kept_code() or (_made() if may_make else None)
                if code is not None:
                    _kernel = load_code(code)
                    _missing = False
    return _kernel


def _made() -> Code:
    from analyzer.save.compiled.build import make_code

    code = make_code()
    keep_code(code)
    return code


def load_code(code: Code) -> Kernel:
    """Return the kernel that machine code is; it must have been made for this processor.

    Raises
    ------
    OSError
        Where the system does not let a program run what it has made.
    """
    # The compiler is not needed for that, and takes five times as long to be imported.
    from llvmlite import binding

    # A system may forbid to run what a program has written; LLVM would end the process for it.
    binding.check_jit_execution()
    binding.initialize_native_target()
    binding.initialize_native_asmprinter()
    machine = binding.Target.from_default_triple().create_target_machine()
    engine = binding.create_mcjit_compiler(binding.parse_assembly(""), machine)
    for _, data in code.values():
        engine.add_object_file(binding.ObjectFileRef.from_data(data))
    engine.finalize_object()
    number, address = ctypes.c_int64, ctypes.c_void_p
    # No other thread runs meanwhile: what is read must not change, and it is over soon.
    walk = ctypes.PYFUNCTYPE(number, address, number, address, address)
    hold = ctypes.PYFUNCTYPE(number, address, number, address, number)
    return Kernel(
        walk(engine.get_function_address(code["walk_chunk"][0])),
        walk(engine.get_function_address(code["chart_chunk"][0])),
        hold(engine.get_function_address(code["may_hold"][0])),
        engine,
    )


def chunks_ahead(chunks: int, sources: int) -> float:
    """Return how many chunks one process can expect, if all of some sources are like one."""
    return chunks * sources / min(sources, os.cpu_count() or 1)
