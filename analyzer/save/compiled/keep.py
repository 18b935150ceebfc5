"""Where the kernel's machine code is kept: beside the byte code of the package itself.

Whoever can write there can change the program anyway, so to run what lies there trusts nobody new.

Every process of a scan imports this and few need it: what takes long to import is imported there.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Final, TypeAlias

#: By name of an entry: its symbol, and the object file that has it.
Code: TypeAlias = dict[str, tuple[str, bytes]]

_HERE: Final = Path(__file__).parent
_FOLDER: Final = _HERE / "__pycache__"
_SOURCES: Final = ("octets.py", "kernel.py", "chart.py", "build.py")
_DIGEST_LETTERS: Final = 16


def has_code() -> bool:
    """Return whether machine code is kept, for whatever processor."""
    return any(_FOLDER.glob("kernel-*.object"))


def kept_code() -> Code | None:
    """Return the machine code for this processor; None if there is none, or not whole."""
    import json
    from hashlib import sha256

    try:
        stored = _path().read_bytes()
    except OSError:
        return None
    digest, _, rest = stored.partition(b"\n")
    if digest != sha256(rest).hexdigest().encode():
        return None
    head, _, rest = rest.partition(b"\n")
    code = {}
    for name, symbol, size in json.loads(head):
        code[name], rest = (symbol, rest[:size]), rest[size:]
    return code


def keep_code(code: Code) -> Path:
    """Keep machine code for this processor, and return the file.

    Raises
    ------
    OSError
        Where that cannot be done.
    """
    import json
    import tempfile
    from hashlib import sha256

    head = json.dumps([(name, symbol, len(data)) for name, (symbol, data) in code.items()])
    rest = head.encode() + b"\n" + b"".join(data for _, data in code.values())
    path = _path()
    path.parent.mkdir(exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(sha256(rest).hexdigest().encode() + b"\n" + rest)
        # Whoever installed it, others run it; a temporary file is for its owner alone.
        Path(name).chmod(0o644)
        Path(name).replace(path)
        # Of other versions, for the same processor.
        for other in set(_FOLDER.glob(f"{path.name.rpartition('-')[0]}-*")) - {path}:
            other.unlink(missing_ok=True)
    except OSError:
        with suppress(OSError):
            Path(name).unlink()
        raise
    return path


def _path() -> Path:
    from hashlib import sha256

    import llvmlite
    from llvmlite import binding

    processor = (
        binding.get_process_triple(),
        binding.get_host_cpu_name(),
        binding.get_host_cpu_features().flatten(),
    )
    version = sha256(llvmlite.__version__.encode())
    for name in _SOURCES:
        version.update((_HERE / name).read_bytes())
    made_for = sha256("\n".join(processor).encode()).hexdigest()[:_DIGEST_LETTERS]
    return _FOLDER / f"kernel-{made_for}-{version.hexdigest()[:_DIGEST_LETTERS]}.object"
