"""Machine code as object files, which the compiler's library loads: on any system that it runs on.

To import the library takes some 0.04 s of a process, and 30 MiB.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from analyzer.save.compiled.keep import Code, has_code, keep, kept_path, read_kept

_KIND = "object"


def keep_objects(code: Code) -> Path:
    """Keep object files for this processor; return the file.

    Raises
    ------
    OSError
        Where that cannot be done.
    """
    import json

    head = json.dumps([(name, symbol, len(data)) for name, (symbol, data) in code.items()])
    return keep(_path(), head.encode() + b"\n" + b"".join(data for _, data in code.values()))


def kept_objects() -> Code | None:
    """Return the object files for this processor; None if there are none, or not whole."""
    if not has_code(_KIND):
        return None
    import json

    try:
        file = os.open(_path(), os.O_RDONLY)
    except OSError:
        return None
    try:
        kept = read_kept(file)
    finally:
        os.close(file)
    if kept is None:
        return None
    head, _, rest = kept[0].partition(b"\n")
    code = {}
    for name, symbol, size in json.loads(head):
        code[name], rest = (symbol, rest[:size]), rest[size:]
    return code


def load_objects(code: Code) -> tuple[dict[str, int], Any]:
    """Return the addresses of the entries, and what owns them.

    Parameters
    ----------
    code
        Made for this processor.

    Raises
    ------
    OSError
        Where the system does not let a program run what it has made.
    """
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
    entries = {name: engine.get_function_address(symbol) for name, (symbol, _) in code.items()}
    return entries, engine


def _path() -> Path:
    import llvmlite
    from llvmlite import binding

    processor = (
        llvmlite.__version__,
        binding.get_process_triple(),
        binding.get_host_cpu_name(),
        binding.get_host_cpu_features().flatten(),
    )
    return kept_path("\n".join(processor), _KIND)
